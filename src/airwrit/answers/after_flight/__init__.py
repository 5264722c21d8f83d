"""After a flight: what its log shows, held against the rules of its day, the papers and the plan it was flown on."""
