"""One radian of the dome: its exact admissible set, the linear programme, thrust bands and collapse."""
