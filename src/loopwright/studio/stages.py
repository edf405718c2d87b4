"""Endpoints of plan and block."""

from __future__ import annotations

from starlette.routing import Route

from loopwright.studio.answer import answers_to
from loopwright.studio.desk import Desk
from loopwright.studio.message import AskPlan, Blocks, OfText, Planned

Parts = dict[str, str]


def _plan(desk: Desk, _parts: Parts, asked: AskPlan) -> Planned:
    return desk.designs.planned(asked)


def _blocks(desk: Desk, _parts: Parts, asked: OfText) -> Blocks:
    return desk.designs.blocks(asked)


ROUTES = (
    Route("/api/plan", answers_to(AskPlan, _plan), methods=["POST"]),
    Route("/api/blocks", answers_to(OfText, _blocks), methods=["POST"]),
)
