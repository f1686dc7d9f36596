"""Bolted joints: threads, torque, gasket loads, the order of tightening, and what one joint of one exchanger asks for."""
