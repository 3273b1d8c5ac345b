"""What the planner needs before the job: the kit, the energies in numbers, the time and the crew."""
