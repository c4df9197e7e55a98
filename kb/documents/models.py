"""The shapes of the four kinds of document: which keys each table has, and what each holds.

A new key is one line. What several tables must agree on is in the rules modules. It stands alone so
that the shape can be read at one glance."""

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from kb.documents import values as v


class Table(BaseModel):
    """One table of a document; a key that it does not name is an error."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class Evidence(Table):
    of: Annotated[list[v.Reference], v.Some, v.Unique]
    method: v.Method
    on: v.Day | None = None
    note: v.Note | None = None


class Setting(Table):
    """One switch or menu setting: what it is called, where it must stand, and when."""

    id: v.Label
    name: v.Name | None = None
    position: v.Name
    when: v.Name | None = None


class Step(Table):
    """One step of the work that only this product or vehicle needs."""

    do: v.Note
    when: v.Name | None = None
    stage: v.Stage | None = None
    caution: v.Note | None = None


class DocumentTable(Table):
    """The top of a file."""

    kind: v.Kind
    colours: v.Scheme | None = None
    evidence: list[Evidence] = []


class VehicleHead(Table):
    id: v.Slug
    make: v.Name
    model: v.Name
    years: v.Years
    wmi: Annotated[list[v.Wmi], v.Some, v.Unique] | None = None
    body: v.Name | None = None
    audio: v.Name
    sold_speakers: v.Count | None = None
    srs_wait_seconds: v.Seconds | None = None
    note: v.Note | None = None


class Unit(Table):
    id: v.Label
    kind: v.UnitKind
    place: v.Place | None = None
    senses_load: v.Flag | None = None
    panels: v.Panels | None = None
    note: v.Note | None = None


class Speaker(Table):
    id: v.SpeakerId
    role: v.Role
    place: v.Place | None = None
    panels: v.Panels | None = None
    ohms: v.Ohms | None = None
    duties: Annotated[list[v.Duty], v.Unique] | None = None
    keep: v.Note | None = None
    blocks_below_hz: v.Hertz | None = None
    note: v.Note | None = None


class Pin(Table):
    at: v.Position
    carries: v.Circuits | None = None
    wire: v.Wire | None = None
    mm2: v.Mm2 | None = None
    awg: v.Awg | None = None
    note: v.Note | None = None


class Connector(Table):
    id: v.Label
    unit: v.Label | None = None
    plug: v.Plug
    ways: v.Ways
    rows: v.Ways | None = None
    numbering: v.Numbering | None = None
    seen_from: v.Side | None = None
    place: v.Place | None = None
    panels: v.Panels | None = None
    pins: list[Pin] = []
    note: v.Note | None = None


class Panel(Table):
    id: v.Label
    minutes: v.Minutes | None = None
    note: v.Note | None = None


class Route(Table):
    from_: v.Place = Field(alias="from")
    to: v.Place
    metres: v.Metres
    panels: v.Panels | None = None
    note: v.Note | None = None


class VehicleDocument(DocumentTable):
    vehicle: VehicleHead
    unit: list[Unit] = []
    speaker: list[Speaker] = []
    connector: list[Connector] = []
    panel: list[Panel] = []
    route: list[Route] = []
    setting: list[Setting] = []
    step: list[Step] = []


class KitHead(Table):
    id: v.Slug
    maker: v.Name
    name: v.Name
    takes_out: Annotated[list[v.UnitKind], v.Unique]
    line_outputs: v.Count
    output_volts: list[v.Volts]
    turn_on_amps: v.SmallAmps | None = None
    wait_seconds: v.Seconds | None = None
    note: v.Note | None = None


class Output(Table):
    id: v.Label
    carries: v.OutputChannel
    fades: v.Flag | None = None
    note: v.Note | None = None


class Lead(Table):
    lead: v.Label
    plug: v.Plug
    plus: v.Position
    minus: v.Position
    wire: v.Wire | None = None
    meant_for: v.Name | None = None
    note: v.Note | None = None


class Part(Table):
    id: v.Label
    use: v.Use
    unit: v.MatesWith | None = None
    plugs: Annotated[list[v.Plug], v.Some, v.Unique]
    intercepts: v.Flag | None = None
    leads: list[Lead] = []
    note: v.Note | None = None


class KitDocument(DocumentTable):
    kit: KitHead
    output: list[Output] = []
    part: list[Part] = []
    setting: list[Setting] = []
    step: list[Step] = []


class AmplifierHead(Table):
    id: v.Slug
    maker: v.Name
    name: v.Name
    class_: v.AmplifierClass = Field(alias="class")
    fuse_amps: v.Amps
    input_volts: v.InputVolts
    efficiency: v.Efficiency | None = None
    turn_on_amps: v.SmallAmps | None = None
    note: v.Note | None = None


class Channel(Table):
    id: v.Label
    watts: v.WattsByLoad
    min_ohms: v.Ohms
    note: v.Note | None = None


class AmplifierDocument(DocumentTable):
    amplifier: AmplifierHead
    channel: list[Channel] = []
    setting: list[Setting] = []


class JobHead(Table):
    id: v.Slug
    vehicle: v.Slug
    kit: v.Slug
    parts: Annotated[list[v.Label], v.Unique] | None = None
    amplifier: v.Slug
    amplifier_place: v.Place
    battery_place: v.Place
    ground_metres: v.Metres | None = None
    silent: Annotated[list[v.SpeakerId], v.Unique] | None = None
    note: v.Note | None = None


class Drive(Table):
    channel: v.Label
    speakers: Annotated[list[v.SpeakerId], v.Some, v.Unique]
    wiring: v.Wiring | None = None


class Fitted(Table):
    """What was, or will be, put in place of a factory speaker."""

    speaker: v.SpeakerId
    ohms: v.Ohms | None = None
    watts: v.Watts | None = None
    blocks_below_hz: v.Hertz | None = None
    note: v.Note | None = None


class JobDocument(DocumentTable):
    job: JobHead
    drive: list[Drive] = []
    fitted: list[Fitted] = []


MODELS: dict[str, type[DocumentTable]] = {
    "vehicle": VehicleDocument,
    "kit": KitDocument,
    "amplifier": AmplifierDocument,
    "job": JobDocument,
}
