"""The server: who may ask, which page answers, what is kept between requests."""
