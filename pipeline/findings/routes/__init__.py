"""The way to the goals: from today's animals to each goal's label, the quickest way over generations.

timing   seasons between litters and to breeding age, from the Species sheet and the book's own dates
stock    today's animals, with their carrier odds and the first season each can be paired in
goals    one goal: its routes, or why there is none
steps    a route as rows of the tables
answer   all goals of a book
"""

from pipeline.findings.routes.answer import RouteFindings, route_findings

__all__ = ["RouteFindings", "route_findings"]
