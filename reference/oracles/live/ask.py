"""Fresh random questions, and what well-kept public libraries answer.

    python ask.py SEED ROUNDS CASES.csv ANSWERS.csv

CASES.csv is what `cocoonery reckon --cases` reads. ANSWERS.csv has a row for every figure asked for:
case, field (empty for a bare number), expected, relative and absolute tolerance, and who says so.
No formula of ours is repeated here: where a library has no ready answer, its integrator or root finder does the work
on the definition.
"""

import csv
import datetime
import importlib
import json
import math
import random
import sys
import warnings

import numpy as np

ROWS = {"cases": [], "answers": []}


def ask(quantity, inputs, answers, who, relative=1e-9, absolute=1e-12):
    """One question with its expected figures by field."""
    case = f"{quantity}-{len(ROWS['cases']) + 1}"
    ROWS["cases"].append([case, quantity, json.dumps(inputs)])
    for field, expected in answers.items():
        ROWS["answers"].append([case, field, expected, relative, absolute, who])


def degree_days(dice):
    from scipy.integrate import quad

    low = dice.uniform(-5, 20)
    high = low + dice.uniform(0.5, 20)
    lower, upper = dice.uniform(0, 14), dice.uniform(22, 34)

    def warmth(share):
        air = (low + high) / 2 + (high - low) / 2 * math.sin(2 * math.pi * share)
        return min(max(air, lower), upper) - lower

    def crossing(level):
        sine = (2 * level - low - high) / (high - low)
        if abs(sine) >= 1:
            return []
        first = math.asin(sine) / (2 * math.pi)
        return [first % 1, (0.5 - first) % 1]

    marks = sorted(crossing(lower) + crossing(upper))
    total = quad(warmth, 0, 1, points=marks or None, epsabs=1e-12, epsrel=1e-12, limit=200)[0]
    ask(
        "degree-days",
        {"method": "sine", "low_c": low, "high_c": high, "lower_c": lower, "upper_c": upper, "cutoff": "horizontal"},
        {"": total},
        "scipy.integrate.quad on the clipped sine",
        1e-8,
        1e-9,
    )


def threshold_fit(dice):
    import statsmodels.api as sm

    lower, constant = dice.uniform(4, 12), dice.uniform(80, 400)
    at = np.array(sorted(dice.uniform(lower + 4, 32) for _ in range(dice.randint(3, 8))))
    days = constant / (at - lower) * np.exp([dice.gauss(0, 0.05) for _ in at])
    line = sm.OLS(1 / days, sm.add_constant(at)).fit()
    a, b = line.params
    ask(
        "threshold-fit",
        {"at_c": list(at), "days": list(days), "method": "campbell"},
        {"lower_c": -a / b, "constant_dd": 1 / b, "r2": line.rsquared},
        "statsmodels OLS on the rates",
        1e-8,
    )


def air(dice):
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    celsius, humidity = dice.uniform(1, 45), dice.uniform(10, 99)
    pressure_pa = 101325.0
    share = humidity / 100
    inputs = {"air_c": celsius, "humidity_percent": humidity, "formula": "hyland-wexler"}
    pressed = inputs | {"pressure_hpa": pressure_pa / 100}
    full = psychrolib.GetSatVapPres(celsius)
    ask(
        "saturation-pressure",
        {"air_c": celsius, "formula": "hyland-wexler"},
        {"": full / 100},
        "psychrolib",
        # The same equation with its coefficients printed to another number of digits.
        1e-6,
    )
    ask("vapour-pressure-deficit", inputs, {"": full * (1 - share) / 1000}, "psychrolib", 1e-6)
    if (dew := psychrolib.GetTDewPointFromRelHum(celsius, share)) > 0.1:
        ask("dew-point", inputs, {"": dew}, "psychrolib", 0, 2e-3)
    ratio = psychrolib.GetHumRatioFromRelHum(celsius, share, pressure_pa)
    ask("humidity-ratio", pressed, {"": ratio}, "psychrolib", 1e-5)
    wet = psychrolib.GetTWetBulbFromRelHum(celsius, share, pressure_pa)
    if wet > 0.1:
        ask("wet-bulb", pressed, {"": wet}, "psychrolib", 0, 3e-3)


def sun(dice):
    import ephem

    latitude, longitude = dice.uniform(-60, 60), dice.uniform(-180, 180)
    date = datetime.date(2015, 1, 1) + datetime.timedelta(days=dice.randrange(7000))
    midnight = datetime.datetime.combine(date, datetime.time()) - datetime.timedelta(hours=longitude / 15)
    place = ephem.Observer()
    place.lat, place.lon, place.pressure, place.elevation = str(latitude), str(longitude), 0, 0

    def when(event, horizon, centre):
        place.horizon, place.date = horizon, midnight
        return event(ephem.Sun(), use_center=centre).datetime()

    try:
        times = {
            "sunrise_utc": when(place.next_rising, "-0:34", False),
            "sunset_utc": when(place.next_setting, "-0:34", False),
            "civil_dawn_utc": when(place.next_rising, "-6", True),
            "civil_dusk_utc": when(place.next_setting, "-6", True),
        }
    except ephem.CircumpolarError:
        return
    if any(time - midnight > datetime.timedelta(days=1) for time in times.values()):
        return
    answers = {field: time.replace(microsecond=0).isoformat() + "Z" for field, time in times.items()}
    where = {"latitude_deg": latitude, "longitude_deg": longitude, "date": date.isoformat()}
    # Seconds. Where the sun goes down slantwise a hair of height is many seconds.
    ask("sun", where, answers, "ephem", 0, 60)


def shares(dice):
    from scipy import stats
    from statsmodels.stats.proportion import proportion_confint

    trials = dice.randint(1, 300)
    successes = dice.randint(0, trials)
    confidence = dice.choice([0.8, 0.9, 0.95, 0.99])
    names = {"clopper-pearson": "beta", "wilson": "wilson", "agresti-coull": "agresti_coull"}
    method = dice.choice(list(names))
    low, high = proportion_confint(successes, trials, 1 - confidence, names[method])
    if method != "agresti-coull" or (low >= 0 and high <= 1):
        ask(
            "binomial-interval",
            {"successes": successes, "trials": trials, "confidence": confidence, "method": method},
            {"0": low, "1": high},
            "statsmodels proportion_confint",
            1e-8,
            1e-10,
        )
    ask(
        "zero-found",
        {"examined": trials, "confidence": confidence},
        {"": stats.beta.ppf(confidence, 1, trials)},
        "scipy.stats.beta",
        1e-8,
    )
    population = dice.randint(5, 400)
    diseased = dice.randint(1, max(1, population // 4))
    missed = [stats.hypergeom.pmf(0, population, diseased, examined) for examined in range(population + 1)]
    if all(abs(it - (1 - confidence)) > 1e-9 for it in missed):
        ask(
            "detection-size",
            {"population": population, "diseased": diseased, "confidence": confidence},
            {"": next(n for n, miss in enumerate(missed) if 1 - miss >= confidence)},
            "scipy.stats.hypergeom",
            0,
            0,
        )


def lives(dice):
    import pandas as pd
    from lifelines import KaplanMeierFitter
    from lifelines.statistics import multivariate_logrank_test

    def group(rate):
        size = dice.randint(6, 40)
        return [(dice.randint(1, 30) * rate + 1, dice.random() < 0.7) for _ in range(size)]

    groups = [group(rate) for rate in (1, 1 if dice.random() < 0.5 else 2)]
    days, died = [day for day, _ in groups[0]], [dead for _, dead in groups[0]]
    confidence = dice.choice([0.8, 0.95])
    at = dice.choice(days)
    curve = KaplanMeierFitter(alpha=1 - confidence).fit(days, died)
    survival = float(curve.survival_function_at_times(at).iloc[0])
    if 1e-9 < survival < 1 - 1e-9:
        band = curve.confidence_interval_.loc[:at].iloc[-1]
        ask(
            "kaplan-meier",
            {"days": days, "died": died, "at_d": at, "confidence": confidence},
            {"survival": survival, "low": float(band.iloc[0]), "high": float(band.iloc[1])},
            "lifelines KaplanMeierFitter",
            1e-8,
        )
    frame = pd.DataFrame([(day, dead, name) for name, it in enumerate(groups) for day, dead in it])
    test = multivariate_logrank_test(frame[0], frame[2], frame[1])
    ask(
        "log-rank",
        {"groups": [[{"days": day, "died": dead} for day, dead in it] for it in groups]},
        {"chi_square": float(test.test_statistic), "p": float(test.p_value)},
        "lifelines multivariate_logrank_test",
        1e-7,
        1e-12,
    )


def growth(dice):
    from scipy.optimize import brentq

    age = sorted(dice.uniform(5, 60) for _ in range(dice.randint(2, 8)))
    lxmx = [dice.uniform(0.05, 3) for _ in age]
    r = brentq(lambda r: sum(it * math.exp(-r * x) for it, x in zip(lxmx, age)) - 1, -3, 3, xtol=1e-15, rtol=1e-14)
    ask("growth-rate", {"age_d": age, "lxmx": lxmx}, {"r": r}, "scipy.optimize.brentq on Lotka's sum", 1e-8)


def small_numbers(dice):
    from scipy import stats

    animals, survival, males = dice.randint(1, 40), dice.uniform(0.05, 0.99), dice.uniform(0.1, 0.9)
    chance = sum(
        stats.binom.pmf(alive, animals, survival) * (1 - males**alive - (1 - males) ** alive)
        for alive in range(2, animals + 1)
    )
    inputs = {"animals": animals, "survival": survival, "male_share": males}
    ask("both-sexes", inputs, {"": float(chance)}, "scipy.stats.binom, summed over the survivors", 1e-9, 1e-13)


def run_length(dice):
    from scipy import stats

    k, h = dice.uniform(0.2, 1.0), dice.uniform(1.5, 5)
    nodes, weights = np.polynomial.legendre.leggauss(120)
    z, w = (nodes + 1) * h / 2, weights * h / 2
    normal = stats.norm
    # L(z) = 1 + L(0) P(step <= k - z) + integral of L(x) f(x + k - z): Page's sum, one side, in control.
    kernel = np.zeros((121, 121))
    states = np.concatenate([[0.0], z])
    kernel[:, 0] = normal.cdf(k - states)
    kernel[:, 1:] = w * normal.pdf(z[None, :] + k - states[:, None])
    length = np.linalg.solve(np.eye(121) - kernel, np.ones(121))[0]
    inputs = {"family": "normal", "k": k, "h": h, "shift": 0, "sides": "one"}
    ask("alarm-run-length", inputs, {"": float(length)}, "numpy.linalg.solve on the integral equation", 1e-6)


def widths(dice):
    import statsmodels.api as sm

    width, mean = dice.uniform(0.3, 1), []
    for _ in range(dice.randint(3, 6)):
        mean.append(width)
        width *= dice.uniform(1.2, 1.8)
    line = sm.OLS(np.log(mean), sm.add_constant(np.arange(1, len(mean) + 1))).fit()
    answers = {"dyar_ratio": math.exp(line.params[1]), "r2": line.rsquared}
    ask("head-width-ratio", {"mean_mm": mean}, answers, "statsmodels OLS on the logarithms", 1e-9)


def combined(dice):
    from statsmodels.stats.meta_analysis import combine_effects

    studies = dice.randint(3, 12)
    estimates = np.array([dice.gauss(0, 1) for _ in range(studies)])
    variances = np.array([dice.uniform(0.02, 0.5) for _ in range(studies)])
    inputs = {"estimates": list(estimates), "variances": list(variances)}
    found = combine_effects(estimates, variances, method_re="dl")
    table = found.summary_frame()
    rows = [("fixed", "fixed effect")]
    # Where the estimates scatter less than they should, this library goes on with a negative variance; the
    # published method stops at 0.
    if found.tau2 > 0:
        rows.append(("dersimonian-laird", "random effect"))
    for method, row in rows:
        answers = {"estimate": table.loc[row, "eff"], "se": table.loc[row, "sd_eff"]}
        answers |= {"low": table.loc[row, "ci_low"], "high": table.loc[row, "ci_upp"]}
        if method == "dersimonian-laird":
            answers |= {"tau2": found.tau2}
        ask("combine", inputs | {"method": method}, answers, "statsmodels combine_effects", 1e-7, 1e-9)


def pedigree(dice):
    import xarray as xr
    from sgkit.stats.pedigree import pedigree_inbreeding

    animals = dice.randint(6, 40)
    parents = [(-1, -1), (-1, -1)]
    for born in range(2, animals):
        parents.append((dice.randrange(-1, born), dice.randrange(-1, born)))
    # A parent may be unknown; selfing is not a matter of moths.
    parents = [(a, b) if a != b else (a, -1) for a, b in parents]
    names = [f"m{it}" for it in range(animals)]
    dataset = xr.Dataset()
    dataset["sample_id"] = "samples", names
    dataset["parent_id"] = ["samples", "parents"], [["." if it < 0 else names[it] for it in pair] for pair in parents]
    found = pedigree_inbreeding(dataset, allow_half_founders=True)["stat_pedigree_inbreeding"].values
    rows = [[name, *(None if it < 0 else names[it] for it in pair)] for name, pair in zip(names, parents)]
    ask("inbreeding", {"pedigree": rows}, dict(zip(names, map(float, found))), "sgkit pedigree_inbreeding", 1e-9)


KINDS = [
    (degree_days, "scipy"),
    (threshold_fit, "statsmodels"),
    (air, "psychrolib"),
    (sun, "ephem"),
    (shares, "statsmodels"),
    (lives, "lifelines"),
    (growth, "scipy"),
    (small_numbers, "scipy"),
    (run_length, "scipy"),
    (widths, "statsmodels"),
    (combined, "statsmodels"),
    (pedigree, "sgkit"),
]


def main(seed, rounds, cases, answers):
    warnings.simplefilter("ignore")
    dice = random.Random(seed)
    for kind, library in KINDS:
        try:
            importlib.import_module(library)
        except ImportError:
            print(f"not asked: {kind.__name__} (no {library} here)", file=sys.stderr)
            continue
        for _ in range(rounds):
            kind(dice)
    for path, header, rows in [
        (cases, ["case", "quantity", "inputs"], ROWS["cases"]),
        (answers, ["case", "field", "expected", "relative", "absolute", "who"], ROWS["answers"]),
    ]:
        with open(path, "w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file)
            writer.writerow(header)
            writer.writerows(rows)


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), sys.argv[3], sys.argv[4])
