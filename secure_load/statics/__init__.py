"""From what happens to the boat to the force in every restraint.

``motion`` turns a scenario into instants and loads, ``contact`` and ``lines`` turn restraints into links,
``equilibrium`` finds the force in each link at every instant, ``words`` says which way a free weight goes.
SI units and radians inside: metres, newtons, kilograms.
"""
