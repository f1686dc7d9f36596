"""An invented plant: exchanger files and, later, the events of one job. Everything in it is made up and says so."""
