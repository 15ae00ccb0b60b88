"""The page to read and try the API, drawn by a module of our own from files that lie here: nothing from outside."""

from __future__ import annotations

PAGE = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<title>Axlewright: API</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="/favicon.svg">
<link rel="stylesheet" href="/static/vendor/swagger/swagger-ui.css">
<link rel="stylesheet" href="/static/style/api.css">
</head>
<body>
<p class="way"><a href="/">The bench</a></p>
<main id="api"></main>
<script src="/static/vendor/swagger/swagger-ui-bundle.js"></script>
<script type="module" src="/static/kit/api.js"></script>
</body>
</html>
"""
