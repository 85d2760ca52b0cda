"""What a firing program does: hours, heat work and the cone it reaches, cooling, energy.

Pure computation. Temperatures are °C, times hours unless a name says minutes, rates °C per hour,
energies kWh. `reached.firing` is the entry; whatever it says, the witness cone decides.
"""
