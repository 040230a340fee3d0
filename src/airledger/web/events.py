"""What a long piece of work tells while it runs, as server-sent events, and calling it off."""

from __future__ import annotations

import asyncio
import json
import time
from collections.abc import AsyncIterator

from fastapi import APIRouter, Request
from fastapi.responses import Response, StreamingResponse
from starlette.exceptions import HTTPException

from airledger.runs.jobs import OVER, Job
from airledger.web.render import desk_of

router = APIRouter()
STEPS = 9
"""Lines that a whole study tells; more only make the guess of what is left coarser."""
PULSE = 1.0
"""Longest silence [s]."""


@router.get("/course/{key}/events")
async def events(request: Request, key: str) -> StreamingResponse:
    """The course of a piece of work: what it does, how long it takes yet, and its end."""
    return StreamingResponse(_told(request, _known(request, key)), media_type="text/event-stream")


@router.post("/course/{key}/call-off")
def call_off(request: Request, key: str) -> Response:
    """Calls a piece of work off."""
    _known(request, key).cancel()
    return Response(status_code=204)


def _known(request: Request, key: str) -> Job:
    job = desk_of(request).jobs.named(key)
    if job is None:
        raise HTTPException(404, "this work is not known any more: load the page again")
    return job


async def _told(request: Request, job: Job) -> AsyncIterator[str]:
    seen = 0
    while not await request.is_disconnected():
        new, state = await asyncio.to_thread(job.after, seen, PULSE)
        seen += len(new)
        passed = time.monotonic() - job.begun if job.begun else 0.0
        left = passed * max(0, STEPS - seen) / seen if seen > 1 else None
        said = {"state": state, "doing": new[-1] if new else "", "passed_s": round(passed, 1), "left_s": left}
        yield f"event: {'over' if state in OVER else 'course'}\ndata: {json.dumps(said)}\n\n"
        if state in OVER:
            return
