"""Pages that prepare a paper or an answer and save nothing: how to register, whose name, papers to carry."""
