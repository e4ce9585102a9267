"""What is true of nature and law: pure functions on decimal numbers, no records and no web.

Every function refuses what lies outside its valid range with a `ScienceError` whose hint
says what to send instead. Tables stand in `tables/`, one CSV each, its source in line 1.
"""
