"""The plan of a job: the cheapest way to every speaker, the loads, the cable, the order of work.

The modules that compute (`network`, `ways`, `reach`, `loads`, `supply`, `signal`, `channels`) know
nothing of a database: they take plain frozen values and give plain frozen values, so that each can
be held against a published source. `job` binds a stored job to them.
"""
