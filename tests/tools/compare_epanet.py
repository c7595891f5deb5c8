"""Times EPANET on boom network case P7 and prints it beside this project's own times.

Called by `cargo xtask compare-epanet` as: compare_epanet.py CASE.json CRITERION_FOLDER

EPANET's clock counts whole seconds and its limits are meant for town mains, so it is given a similar network: lengths, bores
and roughnesses times 1000, flows times 10^6, viscosity times 1000, pressures and heights unchanged. Velocity, Reynolds number
and every loss stay the same, times are 1000 times as long: a step of 1 s there is 1 ms here. Both sides solve the hydraulics
of one state and follow the front to the last nozzle.
"""

import json
import pathlib
import statistics
import sys
import tempfile
import time

import epanet.toolkit as en

FOOT_M = 0.3048
# What EPANET takes for the kinematic viscosity of water, before its own multiplier (funcs.h, VISCOS in ft2/s).
WATER_M2_S = 1.1e-5 * FOOT_M * FOOT_M
SCALE = 1000.0


def input_text(case, step_s, duration_s):
    liquid, g = case["liquid"], case["gravity_m_s2"]
    rho_g = liquid["density_kg_m3"] * g
    state = case["states"][0]
    head_m = case["reference"][0]["supply_pressure_pa"]["scipy"] / rho_g
    nozzles = {}
    for nozzle in case["nozzles"]:
        nozzles[nozzle["node"]] = nozzles.get(nozzle["node"], 0.0) + nozzle["k_m3_s_pa05"]
    supply, injection = case["supply"]["node"], case["injection"]["node"]
    lines = ["[JUNCTIONS]"]
    for node in case["nodes"]:
        if node["id"] == supply:
            continue
        demand = -state["injected_flow_m3_s"] * SCALE**2 if node["id"] == injection else 0.0
        lines.append(f"{node['id']} {node['elevation_m']!r} {demand!r}")
    height = next(node["elevation_m"] for node in case["nodes"] if node["id"] == supply)
    lines += ["[RESERVOIRS]", f"{supply} {height + head_m!r}", "[PIPES]"]
    for pipe in case["pipes"]:
        lines.append(
            f"{pipe['id']} {pipe['from']} {pipe['to']} {pipe['length_m'] * SCALE!r} {pipe['bore_m'] * SCALE * 1000!r} "
            f"{pipe['roughness_m'] * SCALE * 1000!r} {pipe['minor_k']!r} Open"
        )
    lines += ["[EMITTERS]"] + [f"{node} {k * SCALE**2 * rho_g**0.5!r}" for node, k in nozzles.items() if k > 0]
    lines += ["[SOURCES]", f"{injection} CONCEN {case['injection']['concentrate_kg_m3']!r}"]
    viscosity = liquid["viscosity_pa_s"] / liquid["density_kg_m3"] * SCALE / WATER_M2_S
    lines += [
        "[OPTIONS]", "Units CMS", "Headloss D-W", f"Viscosity {viscosity!r}", "Accuracy 1e-8", "Trials 200",
        "Emitter Exponent 0.5", "Quality Chemical mg/L", "Diffusivity 0", "Tolerance 0.001",
        "[TIMES]", f"Duration 0:00:{duration_s}", f"Hydraulic Timestep 0:00:{duration_s}",
        f"Quality Timestep 0:00:{step_s}", f"Report Timestep 0:00:{duration_s}", f"Pattern Timestep 0:00:{duration_s}",
        "[REPORT]", "Status No", "Summary No", "Messages No", "[END]",
    ]  # fmt: skip
    return "\n".join(lines) + "\n"


def ms(run, n):
    times = []
    for _ in range(n):
        start = time.perf_counter()
        run()
        times.append((time.perf_counter() - start) * 1000)
    return statistics.median(times)


def worst_arrival_ms(project, case, step_s):
    """Largest difference between half a front at a nozzle and the case's own lag."""
    nodes = [nozzle["node"] for nozzle in case["nozzles"]]
    places = [en.getnodeindex(project, node) for node in nodes]
    wanted = [nozzle["delay_s"] for nozzle in case["reference"][0]["nozzles"]]
    half = case["reference"][0]["final_concentration_kg_m3"] / 2
    found = [None] * len(nodes)
    before = [0.0] * len(nodes)
    en.openQ(project)
    en.initQ(project, en.NOSAVE)
    left = 1
    while left > 0 and None in found:
        at_s = en.runQ(project)
        for idx, place in enumerate(places):
            if found[idx] is None:
                now = en.getnodevalue(project, place, en.QUALITY)
                if now >= half:
                    part = (half - before[idx]) / (now - before[idx])
                    # A node's value is the mean over one step, so half a step is taken off.
                    found[idx] = (at_s - step_s + part * step_s - step_s / 2) / SCALE
                before[idx] = now
        left = en.stepQ(project)
    en.closeQ(project)
    return max(abs(a - b) for a, b in zip(found, wanted)) * 1000


def match_flow(project, case):
    """EPANET takes g = 32.2 ft/s2 in its losses; the supply head is moved by the few centimetres that keep the case's flow."""
    state = case["states"][0]
    wanted = (state["carrier_flow_m3_s"] + state["injected_flow_m3_s"]) * SCALE**2
    supply = en.getnodeindex(project, case["supply"]["node"])
    places = [en.getnodeindex(project, node) for node in {nozzle["node"] for nozzle in case["nozzles"]}]
    for _ in range(4):
        en.openH(project)
        en.initH(project, en.NOSAVE)
        en.runH(project)
        flow = sum(en.getnodevalue(project, place, en.EMITTERFLOW) for place in places)
        en.closeH(project)
        head_m = en.getnodevalue(project, supply, en.ELEVATION)
        en.setnodevalue(project, supply, en.ELEVATION, head_m * (wanted / flow) ** 2)


def measure(case, step_s):
    last_s = max(nozzle["delay_s"] for nozzle in case["reference"][0]["nozzles"])
    duration_s = int(last_s * SCALE * 1.01) + 2 * step_s
    with tempfile.TemporaryDirectory() as folder:
        name = pathlib.Path(folder) / "case.inp"
        name.write_text(input_text(case, step_s, duration_s))
        project = en.createproject()
        en.open(project, str(name), str(name.with_suffix(".rpt")), str(name.with_suffix(".out")))
        match_flow(project, case)
        hydraulics = ms(lambda: en.solveH(project), 15)
        quality = ms(lambda: en.solveQ(project), 7)
        worst = worst_arrival_ms(project, case, step_s)
        en.close(project)
        en.deleteproject(project)
    return hydraulics, quality, worst


def own_ms(criterion, name):
    estimates = json.loads((criterion / "p7" / name / "new" / "estimates.json").read_text())
    return estimates["median"]["point_estimate"] / 1e6


def main():
    case = json.loads(pathlib.Path(sys.argv[1]).read_text())
    criterion = pathlib.Path(sys.argv[2])
    own = own_ms(criterion, "hydraulics_and_transport")
    version = en.getversion()
    print(f"Case {case['id']}: {case['title']}. Medians, one run on this machine.\n")
    print(f"{'':44}{'hydraulics':>12}{'transport':>12}{'both':>12}{'arrival off by':>16}{'slower by':>11}")
    for step_s in (100, 10, 1):
        hydraulics, quality, worst = measure(case, step_s)
        both = hydraulics + quality
        name = f"EPANET {version // 10000}.{version // 100 % 100}.{version % 100}, step {step_s} ms"
        print(f"{name:44}{hydraulics:9.3f} ms{quality:9.3f} ms{both:9.3f} ms{worst:13.3f} ms{both / own:10.0f}x")
    only = own_ms(criterion, "hydraulics_given_flow_SwameeJain")
    print(f"{'this project, given flow':44}{only:9.3f} ms{'':12}{own:9.3f} ms{'< 0.001 ms':>16}{1:10.0f}x")
    pressure = own_ms(criterion, "hydraulics_given_pressure_SwameeJain")
    print(f"{'this project, given pressure':44}{pressure:9.3f} ms")
    print("\nThis project's arrivals against the same lags: `cargo test -p calc --test plumbing_cases`.")


main()
