"""The site: routes, forms and pages. It reads requests, calls one service, and answers."""
