"""What to do: plan a charge, watch a run; cautions for both."""
