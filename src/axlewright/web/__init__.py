"""The bench: a web page in the garage and at the track. It asks, shows and stores; no physics.

| file | what |
|---|---|
| `app` | the application: pages, API, static files, access |
| `access`, `headers` | who may come in, and what every answer says about itself |
| `bench` | the car on the bench, its setup, and everybody's moves |
| `live` | the socket on which everybody sees each other's moves |
| `asked`, `streaming`, `answers` | a question, its answer with progress, and answers kept |
| `warming` | the solver made ready in the background |
| `pages/`, `api/` | one page, one question of the API a file |
"""
