"""One question, one module, one function; the only place that joins facts, law and inputs."""
