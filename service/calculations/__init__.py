"""The science over HTTP: each public function of it as one address, read off its own words."""
