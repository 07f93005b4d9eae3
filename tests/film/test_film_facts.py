from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import av

from gradecut.film import describe_film
from tests.film.torture import Making, make_film, numbered


def test_an_ordinary_film_is_told(shelf: dict[str, Path]) -> None:
    """Size, frames, rate, length, codec and sound are told; no fault is made up."""
    facts = describe_film(shelf["sound_longer"], thorough=True)
    assert (facts.width, facts.height, facts.frame_count) == (192, 108, 40)
    assert facts.rate == 30
    assert facts.duration_s == Fraction(4, 3)
    assert (facts.codec, facts.pixel_format, facts.container) == ("h264", "yuv420p", "mov")
    assert facts.sound
    assert facts.faults == ()
    assert facts.size_bytes == shelf["sound_longer"].stat().st_size


def test_the_spread_of_a_variable_rate(shelf: dict[str, Path]) -> None:
    """A rate that varies is told from its longest to its shortest frame."""
    facts = describe_film(shelf["variable"])
    assert facts.rate is None
    # The frame times are 1 to 8 ticks of 1/120 s apart.
    assert (facts.slowest_rate, facts.fastest_rate) == (15, 120)
    assert "15 to 120 a second" in "\n".join(facts.lines())


def test_turning_and_interlacing_are_told(shelf: dict[str, Path]) -> None:
    """What a coach may wonder about stands among the facts."""
    assert describe_film(shelf["turned"]).rotation == 90
    assert describe_film(shelf["upside_down"]).rotation == 180
    assert describe_film(shelf["mirrored"]).mirrored
    assert describe_film(shelf["interlaced"]).interlaced
    assert not describe_film(shelf["closed"]).interlaced


def test_lines_are_for_people_and_end_with_faults(shelf: dict[str, Path]) -> None:
    """The lines say what is in the film, then what is wrong with it."""
    lines = describe_film(shelf["ntsc"]).lines()
    assert lines[0].endswith(str(shelf["ntsc"]))
    assert "59.94 a second" in "\n".join(lines)
    assert lines[-1] == "Faults    none found"


def test_json_keeps_fractions_exact(shelf: dict[str, Path]) -> None:
    """The facts go through JSON with the rate as an exact fraction."""
    facts = json.loads(json.dumps(describe_film(shelf["ntsc"]).as_json()))
    assert facts["rate"] == "60000/1001"
    assert facts["frame_count"] == 70
    assert facts["fingerprint"].startswith("blake2b-ends-1:")
    assert facts["faults"] == []


def test_of_two_pictures_the_larger_is_shown(tmp_path: Path) -> None:
    """With two moving pictures the larger is shown, and that is told."""
    path = tmp_path / "two.mkv"
    with av.open(str(path), "w") as out:
        streams = []
        for width, height in ((96, 54), (192, 108)):
            stream = out.add_stream("libx264", rate=30)
            stream.width, stream.height, stream.pix_fmt = width, height, "yuv420p"
            streams.append(stream)
        for number in range(20):
            for stream in streams:
                picture = numbered(number, stream.width, stream.height)
                frame = av.VideoFrame.from_ndarray(picture, format="rgb24")
                frame.pts = number
                for packet in stream.encode(frame):
                    out.mux(packet)
        for stream in streams:
            for packet in stream.encode(None):
                out.mux(packet)
    facts = describe_film(path, thorough=True)
    assert facts.video_streams == 2
    assert (facts.width, facts.height, facts.frame_count) == (192, 108, 20)
    assert any("2 pictures; stream 1 is shown" in note for note in facts.notes)


def test_sound_longer_than_the_picture_is_no_fault(tmp_path: Path) -> None:
    """A film whose sound goes on is not called cut off, in any container."""
    making = Making(options={"g": "12", "bf": "2"}, sound_s=5.0)
    for ending in ("mkv", "ts", "mp4"):
        assert describe_film(make_film(tmp_path / f"sound.{ending}", making)).faults == ()


def test_sound_that_begins_first_is_told(tmp_path: Path) -> None:
    """How sound is stored, and how long before the picture it begins, is told."""
    making = Making(options={"g": "12", "bf": "0"}, shift=15, sound_s=2.0)
    facts = describe_film(make_film(tmp_path / "sound.mov", making))
    assert (facts.sound_codec, facts.sound_rate_hz) == ("aac", 48000)
    assert facts.sound_start_s is not None
    # Half a second, less the encoder's own lead-in of some milliseconds.
    assert abs(facts.sound_start_s + Fraction(1, 2)) < Fraction(1, 20)
    assert "begins 0.5 s before the picture" in "\n".join(facts.lines()).replace("0.500", "0.5")
    assert describe_film(make_film(tmp_path / "mute.mp4", Making())).lines()[5].endswith("none")


def test_colour_and_depth_are_told_as_tagged(tmp_path: Path) -> None:
    """A film tagged BT.2020 and HLG in ten bits says so, and that it looks pale."""
    params = "colorprim=bt2020:transfer=arib-std-b67:colormatrix=bt2020nc"
    making = Making(options={"g": "12", "x264-params": params}, pix_fmt="yuv420p10le")
    facts = describe_film(make_film(tmp_path / "bright.mp4", making))
    assert (facts.primaries, facts.transfer, facts.bit_depth) == ("BT.2020", "HLG", 10)
    assert facts.colour.startswith("BT.2020")
    assert any("high dynamic range (HLG)" in note for note in facts.notes)


def test_pixels_that_are_not_square_are_told(tmp_path: Path) -> None:
    """The shape of the pixels is told, and applied in the width."""
    making = Making(options={"g": "12", "aspect": "4/3"}, size=(144, 108))
    facts = describe_film(make_film(tmp_path / "wide.mp4", making))
    assert (facts.width, facts.height, facts.pixel_aspect) == (192, 108, Fraction(4, 3))
    assert "its pixels 4:3" in facts.lines()[1]


def test_the_order_of_fields_is_told(tmp_path: Path) -> None:
    """Which of two fields is earlier is told where the film tells it."""
    for first in (True, False):
        params = "tff=1" if first else "bff=1"
        making = Making(options={"g": "12", "x264-params": params}, interlaced=True)
        facts = describe_film(make_film(tmp_path / f"{params}.ts", making))
        assert facts.interlaced
        assert facts.top_field_first is first


def test_the_facts_name_everything_in_json(shelf: dict[str, Path]) -> None:
    """Every fact goes through JSON, fractions as text."""
    facts = json.loads(json.dumps(describe_film(shelf["sound_longer"]).as_json()))
    assert facts["pixel_aspect"] == "1"
    assert facts["sound_channels"] in (1, 2)
    assert facts["cut_off"] is False
    assert facts["recorded_at"].endswith("Z")
