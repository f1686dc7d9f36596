"""The exchanger itself: its file, TEMA letters, sides, states, passes and ribs, joints, tubes, masses, volumes."""
