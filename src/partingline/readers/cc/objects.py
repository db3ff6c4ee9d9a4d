"""Everything a CC-line message can hold, in one place to import from."""

from __future__ import annotations

from partingline.readers.cc.messages.adapters import (
    ActiveCable2Vdo,
    AdapterVdo,
    VpdVdo,
)
from partingline.readers.cc.messages.blocks import (
    BatteryCapabilities,
    BatteryQuery,
    CableStatus,
    CountryInfo,
    MakerQuery,
    SinkCapabilitiesExtended,
)
from partingline.readers.cc.messages.cable import (
    CableVdo,
    decode_cable_vdo,
)
from partingline.readers.cc.messages.chunks import (
    ChunkJoiner,
)
from partingline.readers.cc.messages.crc import (
    crc_bytes,
    crc_holds,
)
from partingline.readers.cc.messages.displayport import (
    DpCapabilities,
    DpConfigure,
    DpStatus,
    decode_dp_capabilities,
    decode_dp_configure,
    decode_dp_status,
)
from partingline.readers.cc.messages.extended import (
    CountryCodes,
    ExtendedControl,
    ManufacturerInfo,
    Opaque,
    PpsStatus,
    SourceCapabilitiesExtended,
    Status,
    VendorExtended,
    decode_block,
)
from partingline.readers.cc.messages.header import (
    ExtendedHeader,
    Header,
    decode_extended_header,
    decode_header,
)
from partingline.readers.cc.messages.identity import (
    DfpVdo,
    Identity,
    IdHeader,
    UfpVdo,
    decode_identity,
)
from partingline.readers.cc.messages.message import (
    Body,
    Capabilities,
    Chunk,
    EprRequest,
    Message,
    decode_message,
)
from partingline.readers.cc.messages.offers import (
    parse_offer,
)
from partingline.readers.cc.messages.pdo import (
    PEAK_CURRENT,
    Battery,
    EmptyPdo,
    EprAvs,
    FixedSink,
    FixedSource,
    Pdo,
    Pps,
    ReservedPdo,
    SprAvs,
    Variable,
)
from partingline.readers.cc.messages.pdo_words import (
    decode_pdo,
    encode_pdo,
)
from partingline.readers.cc.messages.rdo import (
    AvsRdo,
    BatteryRdo,
    FixedRdo,
    PpsRdo,
    Rdo,
    UnresolvedRdo,
    decode_rdo,
)
from partingline.readers.cc.messages.status import (
    Alert,
    BatteryStatus,
    Bist,
    EnterUsb,
    EprMode,
    RevisionInfo,
    SourceInfo,
)
from partingline.readers.cc.messages.vdm import (
    StructuredVdm,
    UnstructuredVdm,
    VdmHeader,
    decode_vdm,
)

__all__ = [
    "PEAK_CURRENT",
    "ActiveCable2Vdo",
    "AdapterVdo",
    "Alert",
    "AvsRdo",
    "Battery",
    "BatteryCapabilities",
    "BatteryQuery",
    "BatteryRdo",
    "BatteryStatus",
    "Bist",
    "Body",
    "CableStatus",
    "CableVdo",
    "Capabilities",
    "Chunk",
    "ChunkJoiner",
    "CountryCodes",
    "CountryInfo",
    "DfpVdo",
    "DpCapabilities",
    "DpConfigure",
    "DpStatus",
    "EmptyPdo",
    "EnterUsb",
    "EprAvs",
    "EprMode",
    "EprRequest",
    "ExtendedControl",
    "ExtendedHeader",
    "FixedRdo",
    "FixedSink",
    "FixedSource",
    "Header",
    "IdHeader",
    "Identity",
    "MakerQuery",
    "ManufacturerInfo",
    "Message",
    "Opaque",
    "Pdo",
    "Pps",
    "PpsRdo",
    "PpsStatus",
    "Rdo",
    "ReservedPdo",
    "RevisionInfo",
    "SinkCapabilitiesExtended",
    "SourceCapabilitiesExtended",
    "SourceInfo",
    "SprAvs",
    "Status",
    "StructuredVdm",
    "UfpVdo",
    "UnresolvedRdo",
    "UnstructuredVdm",
    "Variable",
    "VdmHeader",
    "VendorExtended",
    "VpdVdo",
    "crc_bytes",
    "crc_holds",
    "decode_block",
    "decode_cable_vdo",
    "decode_dp_capabilities",
    "decode_dp_configure",
    "decode_dp_status",
    "decode_extended_header",
    "decode_header",
    "decode_identity",
    "decode_message",
    "decode_pdo",
    "decode_rdo",
    "decode_vdm",
    "encode_pdo",
    "parse_offer",
]
