"""A box at any attitude on planes, let go in a physics engine (``tests.reference.physics`` says how and why)."""

from __future__ import annotations

import mujoco
import numpy as np

from tests.reference.physics import STEP

Triple = tuple[float, float, float]


def pose_scene(
    size: Triple, mass: float, attitude: np.ndarray, planes: list[tuple[np.ndarray, np.ndarray]], friction: float
) -> mujoco.MjModel:
    """A box with its middle at nought, turned by ``attitude`` (3, 3), on planes (point (3,), normal (3,))."""
    quaternion = np.zeros(4)
    mujoco.mju_mat2Quat(quaternion, np.ascontiguousarray(attitude).ravel())
    option = f'timestep="{STEP}" cone="elliptic" impratio="1000" solver="Newton" iterations="200" tolerance="1e-12"'
    law = f'condim="3" friction="{friction} {friction}" solref="0.004 1" solimp="0.999 0.999 0.001 0.5 2"'

    def numbers(values: object) -> str:
        return " ".join(f"{v:.12f}" for v in np.asarray(values).ravel())

    ground = "".join(
        f'<geom name="plane{n}" type="plane" size="5 5 0.1" pos="{numbers(point)}" zaxis="{numbers(normal)}"/>'
        for n, (point, normal) in enumerate(planes)
    )
    pairs = "".join(f'<pair geom1="plane{n}" geom2="box" {law}/>' for n in range(len(planes)))
    half = numbers(0.5 * np.array(size))
    return mujoco.MjModel.from_xml_string(
        f'<mujoco><size nuser_body="1"/><option {option}/><default><geom contype="0" conaffinity="0"/></default>'
        f'<worldbody>{ground}<body name="box" quat="{numbers(quaternion)}"><freejoint/>'
        f'<geom name="box" type="box" size="{half}" mass="{mass}"/></body></worldbody>'
        f"<contact>{pairs}</contact></mujoco>"
    )
