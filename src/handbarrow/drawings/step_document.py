"""Solids with their names and places, written as one STEP file. Only imported where the extra `step` is installed."""

# mypy: disable-error-code="import-untyped,import-not-found,no-any-return"

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
from OCP.BRep import BRep_Builder
from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.Message import Message, Message_Printer
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_AsIs
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Compound
from OCP.XCAFDoc import XCAFDoc_DocumentTool

from handbarrow.drawings.step_solids import moved, transform
from handbarrow.job.values import Job

__all__ = ["written"]

MIRROR = np.diag([1.0, -1.0, 1.0, 1.0])


def written(job: Job, solids: Mapping[str, tuple[Any, ...]], uncut: frozenset[str]) -> bytes:
    """Return the bytes of a STEP file: the product, its assemblies, in them the pieces.

    Args:
        job: The job.
        solids: Copy 1 of each part that has a body, product axes.
        uncut: Parts whose ends or holes are not cut: their names say so.
    """
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    root = _named(tool.NewShape(), job.design.name)
    groups = {a.name: _named(tool.NewShape(), a.name) for a in job.design.assemblies}
    shapes: dict[tuple[str, bool], TDF_Label] = {}
    for part in job.parts:
        if part.id not in solids:
            continue
        whole = _together(solids[part.id])
        name = f"{part.id} (ends and holes not cut)" if part.id in uncut else part.id
        for place in job.placements:
            if place.part != part.id:
                continue
            matrix, key = np.asarray(place.transform, float), (part.id, place.mirrored)
            if key not in shapes:
                shape = moved(whole, MIRROR) if place.mirrored else whole
                shapes[key] = _named(tool.AddShape(shape, False), f"{name} mirrored" if place.mirrored else name)
            turn = transform(matrix @ MIRROR if place.mirrored else matrix)
            piece = tool.AddComponent(groups.get(part.assembly, root), shapes[key], TopLoc_Location(turn))
            _named(piece, f"{part.id} copy {place.copy}")
    for assembly in job.design.assemblies:
        if tool.IsAssembly_s(groups[assembly.name]):
            above = groups.get(assembly.within or "", root)
            _named(tool.AddComponent(above, groups[assembly.name], TopLoc_Location()), assembly.name)
    tool.UpdateAssemblies()
    return _file(document)


def _named(label: TDF_Label, name: str) -> TDF_Label:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(name))
    return label


def _together(solids: tuple[Any, ...]) -> Any:
    if len(solids) == 1:
        return solids[0]
    builder, out = BRep_Builder(), TopoDS_Compound()
    builder.MakeCompound(out)
    for solid in solids:
        builder.Add(out, solid)
    return out


def _file(document: TDocStd_Document) -> bytes:
    Message.DefaultMessenger_s().RemovePrinters(Message_Printer.get_type_descriptor_s())
    writer = STEPCAFControl_Writer()
    Interface_Static.SetIVal_s("write.surfacecurve.mode", 0)
    writer.SetNameMode(True)
    writer.Transfer(document, STEPControl_AsIs)
    with tempfile.TemporaryDirectory(prefix="handbarrow-") as folder:
        path = Path(folder) / "product.step"
        if writer.Write(str(path)) != IFSelect_RetDone:
            raise OSError(5, "the CAD kernel did not write the STEP file", str(path))
        return path.read_bytes()
