"""Remake the demo's photographs from our own scenes: `python jobs/demo/scenes/render.py [--draft] [name ...]`.

Needs the `povray` program, numpy and Pillow. Used when a picture is changed, never when the site runs.
Each scene is rendered in linear light, then twice more as plain fog, from which the distance of every pixel follows.
With the distance we blur as a lens would, add the lens's faults and the film's grain, and write a small JPEG.
"""

from __future__ import annotations

import argparse
import io
import re
import subprocess
import sys
import tempfile
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from PIL import Image

HERE = Path(__file__).parent
PHOTOS = HERE.parent / "photos"
LIMIT = 148_000  # bytes; the demo promises less than 150 kB a photograph
Picture = np.ndarray  # float32, height x width x 3, linear light


@dataclass
class Told:
    """What a scene says about itself: focus distance (mm), blur strength, fog scale (mm) and named marks (per mille)."""

    focus: float = 0.0
    blur: float = 0.0
    scale: float = 200.0
    stops: float = 0.0
    marks: dict[str, tuple[int, int]] = field(default_factory=dict)


def povray(scene: Path, size: tuple[int, int], declares: list[str], extra: list[str]) -> tuple[Picture, str]:
    """Render one pass to 16-bit linear PPM and give the picture and what the scene printed."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "pass.ppm"
        words = [
            "nice",
            "-n",
            "10",
            "povray",
            f"+I{scene}",
            f"+O{out}",
            "+FP16",
            "File_Gamma=1.0",
            "-D",
            "-GS",
            f"+L{HERE}",
            f"+W{size[0]}",
            f"+H{size[1]}",
            *[f"Declare={d}" for d in declares],
            *extra,
        ]
        run = subprocess.run(words, capture_output=True, text=True, check=False)
        if run.returncode:
            sys.exit(run.stderr[run.stderr.find("[Parsing") :])
        raw = out.read_bytes()
    count = size[0] * size[1] * 3
    data = np.frombuffer(raw[-2 * count :], ">u2").reshape(size[1], size[0], 3)
    return data.astype(np.float32) / 65535, run.stderr


def read_told(text: str) -> Told:
    told = Told()
    for name, across, down in re.findall(r"^MARK (\S+) (\S+) (\S+)", text, re.M):
        told.marks[name] = (round(float(across)), round(float(down)))
    found = re.search(r"^FOCUS (\S+) (\S+) (\S+)", text, re.M)
    if found:
        told.focus, told.blur, told.scale = (float(part) for part in found.groups())
    corrected = re.search(r"^STOPS (\S+)", text, re.M)
    told.stops = float(corrected[1]) if corrected else 0.0
    return told


def distance(scene: Path, size: tuple[int, int], declares: list[str], told: Told) -> np.ndarray:
    """Distance of each pixel in mm: the same view in black fog and in white fog, lights out."""
    black, _ = povray(scene, size, [*declares, "FOG=0"], ["-A"])
    white, _ = povray(scene, size, [*declares, "FOG=1"], ["-A"])
    cleared = 1 - np.clip(white - black, 0, 0.99995)[:, :, 1]
    return np.asarray(-told.scale * np.log(cleared), np.float32)


def disc(radius: float) -> np.ndarray:
    """The blur a round iris makes, with a soft edge of one pixel."""
    reach = int(np.ceil(radius)) + 1
    down, across = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    kernel = np.clip(radius + 0.5 - np.hypot(across, down), 0, 1)
    return np.asarray(kernel / kernel.sum(), np.float32)


def smear(picture: np.ndarray, radius: float) -> np.ndarray:
    """Convolve every channel with a disc, by Fourier transform, the border mirrored."""
    if radius < 0.5:
        return picture
    kernel = disc(radius)
    pad = kernel.shape[0] // 2 + 1
    wide = np.pad(picture, ((pad, pad), (pad, pad), (0, 0)), mode="reflect")
    shape = wide.shape[:2]
    cast = np.fft.rfft2(
        np.roll(
            np.pad(kernel, ((0, shape[0] - kernel.shape[0]), (0, shape[1] - kernel.shape[1]))),
            (-(kernel.shape[0] // 2), -(kernel.shape[1] // 2)),
            (0, 1),
        )
    )
    layers = [np.fft.irfft2(np.fft.rfft2(wide[:, :, c]) * cast, shape) for c in range(picture.shape[2])]
    return np.stack(layers, 2)[pad:-pad, pad:-pad].astype(np.float32)


def lens_blur(picture: Picture, depth: np.ndarray, told: Told, steps: int = 18) -> Picture:
    """Blur by distance in layers, far to near; each layer runs on beneath whatever stands before it."""
    width = picture.shape[1]
    signed = told.blur * width / 1600 * (1 - told.focus / np.maximum(depth, 1))
    signed = np.clip(signed, -0.045 * width, 0.03 * width)
    edges = layer_edges(signed, steps)
    result = np.zeros_like(picture)
    for far, near, next_edge in zip(edges[:-1], edges[1:], [*edges[2:], edges[-1]], strict=True):
        inside = ((signed <= far) & (signed > near)).astype(np.float32)[:, :, None]
        if not inside.any():
            continue
        radius, after = abs((far + near) / 2), abs((near + next_edge) / 2)
        stack = np.concatenate([picture * inside, inside, (signed <= far).astype(np.float32)[:, :, None]], 2)
        spread = smear(stack, radius)
        beneath = smear(
            stack[:, :, :4], max(radius, after) + 2
        )  # reaches under the soft edge of the next layer
        colour = np.where(spread[:, :, 3:4] > 0.03, tint(spread), tint(beneath))
        alpha = np.where(beneath[:, :, 3:4] > 1e-3, np.clip(spread[:, :, 4:], 0, 1), 0)
        result = result * (1 - alpha) + np.minimum(colour, 4) * alpha
    return result


def tint(stack: np.ndarray) -> Picture:
    """Colour of a blurred layer, its weight divided out."""
    return np.asarray(stack[:, :, :3] / np.maximum(stack[:, :, 3:4], 1e-4), np.float32)


def layer_edges(signed: np.ndarray, steps: int) -> np.ndarray:
    """Borders between layers of about equal blur, from the farthest to the nearest; finest around the focus."""
    top, low = float(signed.max()) + 1e-3, float(signed.min()) - 1e-3
    grid = np.linspace(-1, 1, 2 * steps + 1)
    reach = max(abs(top), abs(low), 1.0)
    edges = np.sign(grid) * np.abs(grid) ** 1.6 * reach
    kept = [edge for edge in edges if low < edge < top and abs(edge) > 0.02 * reach**0.2]
    return np.array([top, *sorted(kept, reverse=True), low])


def glow(picture: Picture) -> Picture:
    """The bright parts spill a little light, as in any real lens."""
    bright = np.clip(picture - 0.75, 0, 1.6)
    width = picture.shape[1]
    return picture + 0.10 * smear(bright, width / 130) + 0.05 * smear(smear(bright, width / 40), width / 55)


def expose(picture: Picture, told: Told) -> Picture:
    """Meter for the highlights (97th per mille just below white), shifted by the scene's own correction in stops."""
    bright = float(np.percentile(picture.max(2), 97.5))
    return picture * (0.80 / max(bright, 1e-3)) * 2.0**told.stops


def tone(picture: Picture) -> np.ndarray:
    """Film's curve: a lifted, slightly warm black, a firm middle, a shoulder for highlights. Gives 0..1 for the screen."""
    exposed = np.maximum(picture, 0) * np.array([1.02, 1.0, 0.97], np.float32)
    curve = exposed * (1 + exposed / 9.0) / (1 + exposed * 0.62)
    screen = np.clip(curve, 0, 1) ** (1 / 2.2)
    firm = screen + 0.10 * np.sin(2 * np.pi * (screen - 0.5)) / 2
    return np.asarray(0.018 + 0.98 * np.clip(firm, 0, 1), np.float32)


def lens_faults(picture: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Darker corners, a trace of colour at the rim, grain that is stronger in the mid-tones."""
    height, width = picture.shape[:2]
    down, across = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j]
    round_off = 1 - 0.26 * np.clip((across**2 + (down * height / width) ** 2) / 1.56, 0, 1) ** 1.3
    shifted = np.stack(
        [magnify(picture[:, :, 0], 1.0012), magnify(picture[:, :, 1], 1.0006), picture[:, :, 2]], 2
    )
    noise = (
        rng.normal(0, 1, (height, width, 1)).astype(np.float32) * 0.7
        + rng.normal(0, 1, (height, width, 3)) * 0.3
    )
    soft = smear(noise.astype(np.float32), 0.8)
    level = shifted.mean(2, keepdims=True)
    grain = soft * (0.006 + 0.020 * np.sqrt(np.clip(level * (1 - level), 0, 1)))
    return np.clip(shifted * round_off[:, :, None] + grain, 0, 1)


def magnify(channel: np.ndarray, by: float) -> np.ndarray:
    """One colour drawn a hair larger or smaller about the middle."""
    height, width = channel.shape
    rim_x, rim_y = width * (1 - 1 / by) / 2, height * (1 - 1 / by) / 2
    plain = Image.fromarray(channel.astype(np.float32), "F")
    box = (rim_x, rim_y, width - rim_x, height - rim_y)
    turned = plain.transform((width, height), Image.Transform.EXTENT, box, Image.Resampling.BILINEAR)
    return np.asarray(turned, np.float32)


def save(picture: np.ndarray, path: Path) -> int:
    """Write the best JPEG under the limit, without metadata; gives its size in bytes."""
    image = Image.fromarray((picture * 255 + 0.5).astype(np.uint8), "RGB")
    for quality in range(88, 30, -2):
        buffer = io.BytesIO()
        image.save(buffer, "JPEG", quality=quality, optimize=True, progressive=True)
        if buffer.tell() <= LIMIT:
            break
    path.write_bytes(buffer.getvalue())
    return buffer.tell()


def enlarge(picture: np.ndarray, size: tuple[int, int]) -> np.ndarray:
    planes = [Image.fromarray(picture[:, :, c], "F").resize(size, Image.Resampling.LANCZOS) for c in range(3)]
    return np.stack([np.asarray(plane) for plane in planes], 2)


def make(name: str, draft: bool) -> Told:
    """Make one photograph; a draft is small, rough and kept out of the demo."""
    scene, declares, _ = scenes()[name]
    size, final = ((400, 300), (400, 300)) if draft else ((1120, 840), (1600, 1200))
    picture, printed = povray(scene, size, declares, ["-A"] if draft else ["+A0.3", "+AM2", "+R2"])
    told = read_told(printed)
    depth = distance(scene, size, declares, told)
    blurred = lens_blur(picture, depth, told)
    shown = enlarge(np.clip(tone(glow(expose(blurred, told))), 0, 1), final)
    finished = lens_faults(shown, np.random.default_rng(sum(name.encode())))
    target = (Path(tempfile.gettempdir()) / f"draft-{name}.jpg") if draft else PHOTOS / f"{name}.jpg"
    print(name, save(finished, target), told.marks, flush=True)
    return told


def scenes() -> dict[str, tuple[Path, list[str], str]]:
    """Each photograph's scene file, its switch and its note, from the `// photo name SWITCH=n : note` lines."""
    found: dict[str, tuple[Path, list[str], str]] = {}
    for scene in sorted(HERE.glob("*.pov")):
        for name, switch, note in re.findall(
            r"^// photo (\S+) *(\S+=\S+)? *: (.+)$", scene.read_text(), re.M
        ):
            found[name] = (scene, [switch] if switch else [], note)
    return found


def write_marks() -> None:
    """Write marks.toml for the photographs that exist; a thumbnail render is enough to know where a mark falls."""
    lines = [
        "# Written by jobs/demo/scenes/render.py --marks. Marks are per mille of the width and of the height.",
        "",
    ]
    for name, (scene, switch, note) in sorted(scenes().items()):
        if not (PHOTOS / f"{name}.jpg").exists():
            continue
        _, printed = povray(scene, (40, 30), [*switch, "FOG=0"], ["-A"])
        marks = ", ".join(f"{word} = [{x}, {y}]" for word, (x, y) in read_told(printed).marks.items())
        lines += [f"[{name}]", f'note = "{note}"', f"marks = {{ {marks} }}", ""]
    (PHOTOS / "marks.toml").write_text("\n".join(lines))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--draft", action="store_true", help="small and rough, into the temporary folder")
    parser.add_argument(
        "--marks", action="store_true", help="only rewrite marks.toml (done by itself when all are remade)"
    )
    parser.add_argument("names", nargs="*", help="photographs to remake; none means all")
    chosen = parser.parse_args()
    if not chosen.marks:
        for each in chosen.names or sorted(scenes()):
            make(each, chosen.draft)
    if chosen.marks or not (chosen.names or chosen.draft):
        write_marks()


if __name__ == "__main__":
    main()
