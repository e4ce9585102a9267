"""The database: engines, the one session that may commit, columns, numbers, lists, migrations."""
