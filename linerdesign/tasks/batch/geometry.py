"""Inventories with the lines of their pipes: GeoPackage, GeoJSON and GeoParquet.

Geometries pass through as well-known binary, to the bit, beside the name of what their
coordinates are measured in.
"""

from __future__ import annotations

import json
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from shutil import copyfileobj
from tempfile import TemporaryDirectory
from typing import IO, TYPE_CHECKING, Any

from linerdesign.project.extras import extra
from linerdesign.project.faults import InputFaults, fault, first_line, listed, shown

if TYPE_CHECKING:
    import polars as pl

DRIVERS = {".gpkg": "GPKG", ".geojson": "GeoJSON"}
PARQUET = ".parquet"
# The metadata of GeoParquet, and what its coordinates are measured in where it says nothing.
GEO, USUAL_CRS = "geo", "OGC:CRS84"
# GeoParquet 1.1.0, section "Coordinate reference system" and "Encoding" (from memory).
VERSION, WKB = "1.1.0", "WKB"
# Seventeen significant figures give every number of double precision back.
LAYER_OPTIONS = {".geojson": {"SIGNIFICANT_FIGURES": "17"}}


@dataclass(frozen=True)
class Geometry:
    """Where the geometries of a table are, and what they are measured in.

    `column` holds them as well-known binary. `crs` is the coordinate system by authority and
    code, as WKT or as PROJJSON, none where the file states none. `kind` is the type of all of
    them, or `Unknown`. `metadata` is that of the GeoParquet file they are from, as it was read.
    """

    column: str
    crs: str | None
    kind: str = "Unknown"
    layer: str = ""
    metadata: str = ""


@dataclass(frozen=True)
class Layer:
    """One layer of a file: its headers and its geometries."""

    path: Path
    headers: tuple[str, ...]
    geometry: Geometry
    keeps_ids: bool

    def frames(self) -> Iterator[pl.DataFrame]:
        """The rows in pieces, in the order of the file."""
        import polars as pl

        pyogrio = extra("pyogrio", str(self.path))
        pyarrow = extra("pyarrow", str(self.path))
        opened = pyogrio.open_arrow(
            self.path,
            layer=self.geometry.layer,
            return_fids=self.keeps_ids,
            use_pyarrow=True,
        )
        with opened as (_, batches):
            for batch in batches:
                # Without the marks of the columns: the geometries are plain bytes here.
                plain = pyarrow.Table.from_arrays(batch.columns, list(self.headers))
                frame = pl.from_arrow(plain)
                assert isinstance(frame, pl.DataFrame)
                yield frame


def open_layer(path: Path, layer: str | None) -> Layer:
    """The layer of a GeoPackage or GeoJSON file; it must be named where there are several.

    Raises:
        InputFaults: no such file of this form, no such layer, several layers and none named,
            geometries that can't be kept, a missing library.
    """
    pyogrio, place = extra("pyogrio", str(path)), str(path)
    extra("pyarrow", place)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            kinds = {str(name): kind for name, kind in pyogrio.list_layers(path)}
            name = _layer(kinds, layer, place)
            # What the library would change, such as measures along a line, it says in a warning.
            warnings.simplefilter("error")
            info = pyogrio.read_info(path, layer=name)
    except (pyogrio.errors.DataSourceError, pyogrio.errors.DataLayerError, UserWarning) as error:
        raise _unreadable(path, error) from None
    if info["driver"] != DRIVERS[path.suffix.lower()]:
        raise _unreadable(path, ValueError(f"it is {info['driver']}"))
    column = info["geometry_name"] or "wkb_geometry"
    ids = (info["fid_column"],) if info["fid_column"] else ()
    headers = (*ids, *map(str, info["fields"]), column)
    geometry = Geometry(column, info["crs"], info["geometry_type"], name)
    return Layer(path, headers, geometry, bool(ids))


def _layer(kinds: dict[str, Any], wanted: str | None, place: str) -> str:
    """The layer wanted, or the only one with geometries."""
    names = [name for name, kind in kinds.items() if kind is not None]
    if wanted is not None and wanted not in names:
        raise InputFaults([fault("inventory.no_layer", place, shown(wanted), known=listed(names))])
    if wanted is None and len(names) != 1:
        code = "several_layers" if names else "no_layers"
        raise InputFaults([fault(f"inventory.{code}", place, known=listed(names))])
    return wanted or names[0]


def _unreadable(path: Path, error: Exception) -> InputFaults:
    why = first_line(error, 160)
    return InputFaults(
        [fault("inventory.no_table", str(path), form=path.suffix[1:].upper(), why=why)]
    )


def of_geoparquet(path: Path, metadata: str) -> Geometry:
    """The geometries that the metadata of a GeoParquet file describe.

    Raises:
        InputFaults: where the metadata can't be read.
    """
    try:
        about = json.loads(metadata)
        name = str(about["primary_column"])
        column = about["columns"][name]
        crs = column.get("crs", USUAL_CRS)
        kinds = column.get("geometry_types") or []
        encoding = column["encoding"]
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise _unreadable(path, error) from None
    if crs is not None and not isinstance(crs, str):
        crs = json.dumps(crs)
    kind = kinds[0] if len(kinds) == 1 and encoding == WKB else "Unknown"
    return Geometry(name, crs, kind, path.stem, metadata)


def check_geometry(geometry: Geometry | None, target: Path) -> None:
    """Refuses a target that can't keep the geometries of a table, or that needs some.

    Raises:
        InputFaults: geometries for a form without any, a form of geometries without any, a
            coordinate system that the form can't state, a missing library.
    """
    form, place = target.suffix.lower(), f"-o {target}"
    if geometry is None:
        if form in DRIVERS:
            raise InputFaults([fault("inventory.no_geometry", place)])
        return
    if form not in (*DRIVERS, PARQUET):
        raise InputFaults(
            [fault("inventory.geometry_lost", place, known=listed([*DRIVERS, PARQUET]))]
        )
    if form in DRIVERS:
        extra("pyogrio", place)
    if form == ".geojson" and (geometry.crs is None or _authority(geometry.crs, place) is None):
        raise InputFaults([fault("inventory.crs_lost", place)])
    if form == PARQUET:
        geoparquet_metadata(geometry, place)


def crs_of(text: str, place: str) -> Any:
    """The coordinate system that a text names, as the library of projections has it.

    Raises:
        InputFaults: where it is none, or the library is missing.
    """
    pyproj = extra("pyproj", place)
    try:
        return pyproj.CRS.from_user_input(text)
    except pyproj.exceptions.CRSError:
        raise InputFaults([fault("inventory.no_crs", place, shown(text, 60))]) from None


def _authority(text: str, place: str) -> str | None:
    """Authority and code of a coordinate system; none where it has no code."""
    found = crs_of(text, place).to_authority(min_confidence=100)
    return ":".join(found) if found else None


def geoparquet_metadata(geometry: Geometry, place: str) -> str:
    """What a GeoParquet file says of its geometries; that of the file read, where it was one.

    Raises:
        InputFaults: a coordinate system that is not known, a missing library.
    """
    if geometry.metadata:
        return geometry.metadata
    crs = None if geometry.crs is None else crs_of(geometry.crs, place).to_json_dict()
    kinds = [] if geometry.kind == "Unknown" else [geometry.kind]
    column = {"encoding": WKB, "geometry_types": kinds, "crs": crs}
    about = {
        "version": VERSION,
        "primary_column": geometry.column,
        "columns": {geometry.column: column},
    }
    return json.dumps(about)


def write_layer(
    file: IO[bytes],
    target: Path,
    frames: Iterator[pl.DataFrame],
    empty: pl.DataFrame,
    geometry: Geometry,
) -> None:
    """Writes a GeoPackage or GeoJSON file, by the suffix of the target.

    The library insists on a name, which is one in the system's folder of temporary files.

    Raises:
        InputFaults: where the form can't hold the table.
    """
    pyogrio, pyarrow = (extra(name, str(target)) for name in ("pyogrio", "pyarrow"))
    form, place = target.suffix.lower(), target.suffix[1:].upper()
    crs = geometry.crs
    if crs is not None and geometry.metadata:
        crs = _authority(crs, place) or crs_of(crs, place).to_wkt()
    held: list[BaseException] = []
    schema = _as_arrow(empty).schema
    reader = pyarrow.RecordBatchReader.from_batches(schema, _batches(frames, held))
    with TemporaryDirectory() as folder:
        path = Path(folder, f"table{form}")
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # no coordinate system: as in the table read
                pyogrio.write_arrow(
                    reader,
                    path,
                    layer=geometry.layer or "pipes",
                    geometry_name=geometry.column,
                    geometry_type=geometry.kind,
                    crs=crs,
                    layer_options=LAYER_OPTIONS.get(form, {}),
                )
        except Exception as error:
            if held:
                raise held[0] from None
            why = first_line(error, 160)
            refused = fault("inventory.no_layer_written", "-o", form=place, why=why)
            raise InputFaults([refused]) from None
        with path.open("rb") as made:
            copyfileobj(made, file)


def _batches(frames: Iterator[pl.DataFrame], held: list[BaseException]) -> Iterator[Any]:
    """The frames for the library that writes them, which would tell an error as one of its own:
    it is `held`."""
    try:
        for frame in frames:
            yield from _as_arrow(frame).to_batches()
    except BaseException as error:
        held.append(error)
        raise


def _as_arrow(frame: pl.DataFrame) -> Any:
    """The frame as a table of another library, in types that every reader knows."""
    import polars as pl

    empty = pl.selectors.by_dtype(pl.Null)
    return frame.with_columns(empty.cast(pl.String)).to_arrow(compat_level=pl.CompatLevel.oldest())
