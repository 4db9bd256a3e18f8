"""The wire format: what may be asked and what is answered; the only source of the OpenAPI file."""
