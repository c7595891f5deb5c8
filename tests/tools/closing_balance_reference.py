"""Makes crates/calc/tests/data/closing_balance.json: the closing balance solved another way, by scipy.

Another way: every reading is its own residual, and the true areas, lengths, widths and volumes are unknowns beside the
ratios, so nothing is eliminated by hand. scipy.optimize.least_squares finds the minimum, the inverse of JᵀJ is the covariance, and
the true rates get their uncertainty from slopes taken by finite differences.

    python3 -m venv somewhere && somewhere/bin/pip install scipy==1.17.1
    somewhere/bin/python tests/tools/closing_balance_reference.py > crates/calc/tests/data/closing_balance.json
"""

import json

import numpy as np
import scipy
from scipy.optimize import approx_fprime, least_squares
from scipy.stats import chi2

rng = np.random.default_rng(20260101)


def measured(true, u_rel):
    """A reading [value, standard uncertainty] of something true, in the unit at hand."""
    value = float(true * np.exp(u_rel * rng.standard_normal()))
    return [round(value, 6), round(value * u_rel, 8)]


def case(name, priors, ratios, jobs):
    """Invents readings from true ratios, then solves them."""
    made = []
    for job in jobs:
        area = job["area_m2"]
        out = {"loads": []}
        if job.get("known"):
            out["area_m2"] = measured(area, 0.006)
        if job.get("strip"):
            width = 10.0
            out["strip_length_m"] = measured(area / width, 0.002)
            out["strip_width_m"] = measured(width, 0.004)
        if job.get("shown", True):
            out["shown_area_m2"] = measured(area * ratios[0] * ratios[1], 0.003)
        if job.get("distance"):
            out["shown_distance_m"] = measured(area / 10.0 * ratios[0], 0.002)
        for volume in job["loads_l"]:
            load = {"carrier": {}, "products": []}
            left = 0.1 * volume
            if job.get("dipped", True):
                load["carrier"]["loaded_l"] = measured(volume + left, 0.01)
                load["carrier"]["left_l"] = measured(left, 0.03)
            load["carrier"]["shown_l"] = measured(volume * ratios[2], 0.003)
            for pump, ratio in enumerate(ratios[3:]):
                used = 0.01 * (pump + 1) * volume
                load["products"].append(
                    {
                        "loaded_l": measured(used * 1.5, 0.008),
                        "left_l": measured(used * 0.5, 0.008),
                        "shown_l": measured(used * ratio, 0.004),
                    }
                )
            out["loads"].append(load)
        made.append(out)
    return {"name": name, "priors": priors, "jobs": made} | solve(priors, made)


def ln(reading):
    return np.log(reading[0]), reading[1] / reading[0]


def solve(priors, jobs):
    n = len(priors)
    unknowns, residuals = [], [(lambda z, i=i: z[i] / priors[i]) for i in range(n)]

    def unknown(start):
        unknowns.append(start)
        return n + len(unknowns) - 1

    def read(reading, of):
        value, u = ln(reading)
        residuals.append(lambda z: (value - of(z)) / u)

    places = []
    for job in jobs:
        start = ln(job.get("area_m2") or job.get("shown_area_m2"))[0]
        if "strip_length_m" in job:
            length, width = unknown(ln(job["strip_length_m"])[0]), unknown(np.log(10.0))
            read(job["strip_length_m"], lambda z, i=length: z[i])
            read(job["strip_width_m"], lambda z, i=width: z[i])
            area = lambda z, i=length, j=width: z[i] + z[j]
            if "shown_distance_m" in job:
                read(job["shown_distance_m"], lambda z, i=length: z[i] + z[0])
        else:
            place = unknown(start)
            area = lambda z, i=place: z[i]
        if "area_m2" in job:
            read(job["area_m2"], area)
        if "shown_area_m2" in job:
            read(job["shown_area_m2"], lambda z, a=area: a(z) + z[0] + z[1])
        volumes, products = [], [[] for _ in range(n - 3)]
        for load in job["loads"]:
            for use, ratio, into in [(load["carrier"], 2, volumes)] + [
                (product, 3 + pump, products[pump]) for pump, product in enumerate(load["products"])
            ]:
                place = unknown(ln(use["shown_l"])[0])
                into.append(place)
                read(use["shown_l"], lambda z, i=place, r=ratio: z[i] + z[r])
                if "loaded_l" in use:
                    # The volume used is one reading: loaded less left, uncertainties in quadrature.
                    used = use["loaded_l"][0] - use["left_l"][0]
                    read([used, float(np.hypot(use["loaded_l"][1], use["left_l"][1]))], lambda z, i=place: z[i])
        places.append((area, volumes, products))

    start = np.array([0.0] * n + unknowns)
    fun = lambda z: np.array([r(z) for r in residuals])
    found = least_squares(fun, start, method="lm", x_scale="jac", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    covariance = np.linalg.inv(found.jac.T @ found.jac)
    u = np.sqrt(np.diag(covariance))[:n]
    rates = []
    for area, volumes, products in places:
        rate = lambda z, of: np.log(sum(np.exp(z[i]) for i in of)) - area(z)
        row = []
        for of in [volumes] + products:
            slopes = approx_fprime(found.x, rate, 1e-7, of)
            row.append([float(np.exp(rate(found.x, of))), float(np.sqrt(slopes @ covariance @ slopes))])
        rates.append(row)
    statistic = float(2.0 * found.cost)
    # Each residual is a reading or a prior; unknowns take one degree each, and the ratios theirs.
    dof = len(residuals) - len(start)
    return {
        "ln_ratios": [float(x) for x in found.x[:n]],
        "u_rel": [float(x) for x in u],
        "correlation_speed_width": float(covariance[0, 1] / u[0] / u[1]),
        "chi2": statistic,
        "dof": dof,
        "p": float(chi2.sf(statistic, dof)),
        "rates_l_per_m2": rates,
    }


cases = [
    case(
        "one field, three loads, two pumps",
        [0.02, 0.01, 0.015, 0.02, 0.03],
        [1.03, 0.99, 0.96, 1.05, 0.92],
        [{"area_m2": 60000.0, "known": True, "loads_l": [900.0, 900.0, 450.0]}],
    ),
    case(
        "two fields and a strip, seven loads, one pump never tried",
        [0.02, 0.02, 0.1, 0.1],
        [0.95, 1.02, 1.08, 1.2],
        [
            {"area_m2": 80000.0, "known": True, "loads_l": [900.0, 900.0, 850.0]},
            {"area_m2": 50000.0, "known": True, "loads_l": [900.0, 700.0]},
            {"area_m2": 12000.0, "strip": True, "distance": True, "loads_l": [250.0, 210.0]},
        ],
    ),
    case(
        "area only shown, nothing dipped on the second day",
        [0.005, 0.005, 0.02, 0.02],
        [1.0, 1.0, 1.04, 0.97],
        [
            {"area_m2": 40000.0, "known": True, "loads_l": [700.0]},
            {"area_m2": 42000.0, "loads_l": [720.0], "dipped": False},
        ],
    ),
]
print(json.dumps({"made_by": f"scipy {scipy.__version__}, numpy {np.__version__}", "cases": cases}, indent=1))
