"""One document against the shape of its kind: every broken key as a sentence.

The library's own words never reach a person. It stands alone because only this module knows how the
library reports.
"""

from collections.abc import Mapping
from typing import Any, get_args

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from kb.documents.findings import Path, Problem
from kb.documents.models import MODELS, Table
from kb.documents.shown import shown, visible
from kb.documents.values import BROKEN
from kb.nearest import nearest


def shape_problems(content: Mapping[str, Any], kind: str) -> tuple[list[Problem], dict[str, Any]]:
    """The broken keys of a document of that kind, and, where there are none, its content to
    keep."""
    try:
        scheme = "de" if content.get("colours") == "de" else "iec"
        model = MODELS[kind].model_validate(content, context={"colours": scheme})
    except ValidationError as error:
        details = error.errors(include_url=False)
        return [_problem(detail, kind) for detail in details], {}
    return [], model.model_dump(by_alias=True, exclude_unset=True)


def _problem(detail: ErrorDetails, kind: str) -> Problem:
    path: Path = detail["loc"]
    key = next((part for part in reversed(path) if isinstance(part, str)), "")
    if detail["type"] == BROKEN:
        context = detail["ctx"]
        return Problem(path, f"{key}: {context['what']}", str(context["right"]))
    if detail["type"] == "missing":
        return _missing(path, key)
    if detail["type"] == "extra_forbidden":
        return _unknown(path, key, kind)
    value = detail["input"]
    if detail["type"] == "list_type":
        right = f"write [[{key}]]" if isinstance(value, dict) else f"write {key} = [ … ]"
        return Problem(path, f"{key}: {shown(value)} stands where a list belongs", right)
    right = f"write [{key}]" if len(path) == 1 else "write { … } with the keys of a row"
    return Problem(path, f"{key}: {shown(value)} stands where a table belongs", right)


def _missing(path: Path, key: str) -> Problem:
    if len(path) == 1:
        return Problem(path, f"the table [{key}] is missing", f"write [{key}] with its keys")
    return Problem(path, f"the key `{key}` is missing", f"write {key} = …")


def _unknown(path: Path, key: str, kind: str) -> Problem:
    table = _table_at(MODELS[kind], path[:-1])
    keys = [field.alias or name for name, field in table.model_fields.items()]
    near = nearest(key, keys)
    right = (
        f"the nearest known one is `{near}`" if near else f"known here: {', '.join(sorted(keys))}"
    )
    return Problem(path, f"the key `{visible(key)}` is unknown", right)


def _table_at(model: type[Table], path: Path) -> type[Table]:
    for part in path:
        if isinstance(part, str):
            fields = {field.alias or name: field for name, field in model.model_fields.items()}
            inner = _table_in(fields[part].annotation)
            model = inner or model
    return model


def _table_in(annotation: object) -> type[Table] | None:
    """The table inside `Table`, `list[Table]`, or either with `| None`."""
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    return next((found for arg in get_args(annotation) if (found := _table_in(arg))), None)
