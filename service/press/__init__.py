"""The press: plain documents in, bytes out; it knows neither the workshop nor the web."""
