"""The same probabilities by numpy and scipy, from the questions that the bench `lanes` writes.

    cargo bench -p dyebook-strategy-posterior # writes target/tmp/lanes-<dyes>.json, times the crate
    python3 numpy_posterior.py                # needs numpy and scipy; other files can be named

Written apart from the crate as arrays: the mixed model's covariance, one linear solve for the known
spots, then every way to read the lane at once. Prints the time of a lane (CPU, median of 50) and the
largest difference from the probabilities that the crate stated, which it tells to nine places; stops
where that is above 1e-9. Minor spots, faint spots and tails are not in these questions and not in
here, nor is the way of the crate with lanes that have more than 20,000 ways.
"""

import itertools
import json
import pathlib
import sys
import time

import numpy as np
from scipy.special import gammaln, ndtr
from scipy.stats import t as student

NEGLIGIBLE, REACH, BELIEVED, PAIRS_OF, UNTOLD = 1e-6, 6.0, 4.0, 8, 0.001
SEES_MIXTURE, USUAL = 0.8, 0.7
MIXED = {("yellow", "red"): "orange", ("yellow", "pink"): "orange", ("yellow", "blue"): "green",
         ("red", "blue"): "purple", ("pink", "blue"): "purple"}


class Model:
    """A reference set as arrays, one entry a dye by rising Rf (the crate's PREPARE)."""

    def __init__(self, question, config):
        self.config = config
        references = sorted(question["set"]["references"], key=lambda one: one["assigned_rf"])
        self.dyes = [one["dye"] for one in references]
        self.place = {dye: at for at, dye in enumerate(self.dyes)}
        self.rf = np.array([one["assigned_rf"] for one in references])
        part = lambda level: np.array([one["sd"][level] for one in references])
        self.within = np.maximum(part("within_paper"), 0.003)
        papers, sessions = part("between_papers"), part("between_sessions")
        count = lambda level: np.array([one["count"][level] for one in references], float)
        n = count("sessions")
        self.own_mean = papers**2 / count("papers") + self.within**2 / count("spots")
        self.apart = papers**2 + sessions**2 * (1 + 1 / n) + self.own_mean
        self.widest = np.sqrt(self.within**2 + self.apart).max()
        z = (self.rf - self.rf.mean()) / self.rf.std()
        self.session_common, self.session_own = self.effect(sessions, z)
        self.paper_common, self.paper_own = self.effect(papers, z)
        self.mean_weight = 1 / np.sqrt(n)
        self.df = self.degrees_of_freedom(references)
        self.words = [one["word"] for one in question["set"]["colour_words"]]
        assert not any(one["neighbours"] for one in question["set"]["colour_words"])
        self.usual = [one["colours"][0] for one in references]
        self.colours = np.array([self.shares(word) for word in self.usual])

    def effect(self, sd, z):
        """Common shift and turn (2 columns) and own variance of sessions or papers."""
        own, slope = self.config["own_share"], self.config["slope_share"]
        common = sd * np.sqrt((1 - own) / ((1 - slope) + slope * z**2))
        return np.column_stack([common * np.sqrt(1 - slope), common * np.sqrt(slope) * z]), sd**2 * own

    def degrees_of_freedom(self, references):
        """Satterthwaite's over the three levels; the middle one of the dyes'."""
        all_df = []
        for one in references:
            s, p, n = (one["count"][level] for level in ("sessions", "papers", "spots"))
            squares = np.array([one["sd"][level] ** 2
                                for level in ("between_sessions", "between_papers", "within_paper")])
            all_df.append(squares.sum() ** 2 / (squares**2 / np.array([s - 1, p - s, n - p])).sum())
        return sorted(all_df)[len(all_df) // 2]

    def shares(self, word):
        """Probability of each colour word for a dye of one word without neighbours."""
        own = self.config["colour_own"] + self.config["colour_neighbour"]
        rest = (1 - own) / (len(self.words) - 1)
        return np.array([own if other == word else rest for other in self.words])

    def session(self, a, b):
        """Session covariance of dyes `a` (rows) with dyes `b`."""
        same = a[:, None] == b[None, :]
        value = self.session_common[a] @ self.session_common[b].T + same * self.session_own[a][:, None]
        value = value * (1 + np.outer(self.mean_weight[a], self.mean_weight[b]))
        return value + same * self.own_mean[a][:, None]

    def paper(self, a, b):
        """Paper covariance of dyes `a` with dyes `b`."""
        same = a[:, None] == b[None, :]
        return self.paper_common[a] @ self.paper_common[b].T + same * self.paper_own[a][:, None]

    def look_of_two(self, a, b, word):
        """Probability of a word for two dyes in one spot."""
        either = (self.colours[a][word] + self.colours[b][word]) / 2
        pair = (self.usual[a], self.usual[b])
        mixed = MIXED.get(pair, MIXED.get(pair[::-1], "brown"))
        if pair[0] == pair[1] or mixed not in self.words:
            return either
        return SEES_MIXTURE * self.shares(mixed)[word] + (1 - SEES_MIXTURE) * either


def noise(within, spot):
    """Variance of a spot on its paper."""
    edge = 1.0 if 0.05 <= spot["rf"] <= 0.95 else 1.5
    return (np.maximum(within, spot["u"]) * edge) ** 2


def predict(model, question):
    """Joint Student prediction of all dyes near a spot, given the known spots."""
    lane, known = question["lane"], []
    for other in question["sheet"]["known"]:
        dye, spot = model.place[other["dyes"][0]], other["spots"][0]
        own = noise(model.within[dye], spot)
        if (spot["rf"] - model.rf[dye]) ** 2 <= BELIEVED**2 * (model.apart[dye] + own):
            known.append((dye, spot["rf"], own, other["paper"]))
    at = np.array([one[0] for one in known])
    paper = np.array([one[3] for one in known])
    cov = model.session(at, at) + model.paper(at, at) * (paper[:, None] == paper[None, :])
    lower = np.linalg.cholesky(cov + np.diag([one[2] for one in known]))
    far = [REACH * np.hypot(model.widest, spot["u"]) for spot in lane["spots"]]
    near = np.any([np.abs(model.rf - spot["rf"]) <= reach for spot, reach in zip(lane["spots"], far)], 0)
    wanted = np.flatnonzero(near)
    cross = model.session(at, wanted) + model.paper(at, wanted) * (paper == lane["paper"])[:, None]
    rows = np.linalg.solve(lower, cross)
    residual = np.linalg.solve(lower, np.array([one[1] for one in known]) - model.rf[at])
    mean = model.rf[wanted] + rows.T @ residual
    cov = model.session(wanted, wanted) + model.paper(wanted, wanted) - rows.T @ rows
    df = model.df + len(known)
    return wanted, mean, cov, df, (model.df + residual @ residual) / df


def choices_of(model, spot, wanted, mean, cov, df, scale):
    """What a spot may be: (dyes, log prior, mean, noise), the stranger first."""
    config, word = model.config, model.words.index(spot["colour"])
    log_dye = np.log((1 - config["unknown_prior"]) / len(model.dyes))
    stranger = np.log(config["unknown_prior"] / len(model.words))

    def alone(log_prior, place, variance):
        return log_prior + student.logpdf(spot["rf"], df, place, np.sqrt(variance * scale))

    own = noise(model.within[wanted], spot)
    log_prior = log_dye + np.log(model.colours[wanted, word])
    log_alone = alone(log_prior, mean, np.diag(cov) + own)
    best = max(stranger, log_alone.max())
    kept = np.flatnonzero(log_alone >= best + np.log(NEGLIGIBLE))
    found = [((k,), log_prior[k], mean[k], own[k], log_alone[k]) for k in kept]
    order = kept[np.argsort(-log_alone[kept], kind="stable")][:PAIRS_OF]
    for a, b in itertools.combinations(sorted(order), 2):
        gap = abs(mean[a] - mean[b])
        sd = np.sqrt(cov[a, a] + cov[b, b] - 2 * cov[a, b] + own[a] + own[b])
        limit = config["merge_distance"]
        merged = ndtr((limit - gap) / sd) - ndtr((-limit - gap) / sd)
        if merged < NEGLIGIBLE:
            continue
        log_pair = 2 * log_dye + np.log(merged * model.look_of_two(wanted[a], wanted[b], word))
        place, spread = (mean[a] + mean[b]) / 2, (own[a] + own[b]) / 2 + gap**2 / 12
        common = (cov[a, a] + cov[b, b] + 2 * cov[a, b]) / 4
        found.append(((a, b), log_pair, place, spread, alone(log_pair, place, common + spread)))
    best = max([stranger] + [one[4] for one in found])
    kept = [one[:4] for one in found if one[4] >= best + np.log(NEGLIGIBLE)]
    return [((), stranger, 0.0, 0.0)] + kept


def read_lane(model, question):
    """Probability of every choice of every spot, {dyes: probability} a spot."""
    wanted, mean, cov, df, scale = predict(model, question)
    spots = question["lane"]["spots"]
    options = [choices_of(model, spot, wanted, mean, cov, df, scale) for spot in spots]
    ways = np.array([way for way in itertools.product(*[range(len(some)) for some in options])
                     if apart([options[k][number][0] for k, number in enumerate(way)])])
    log_weight = np.zeros(len(ways))
    placed = ways > 0
    for pattern in np.unique(placed, axis=0):
        here = np.flatnonzero((placed == pattern).all(1))
        log_weight[here] = log_density(options, spots, ways[here], np.flatnonzero(pattern), cov, df, scale)
    for k, some in enumerate(options):
        log_weight += np.array([one[1] for one in some])[ways[:, k]]
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    told = []
    for k, some in enumerate(options):
        shares = np.bincount(ways[:, k], weight, len(some))
        told.append({tuple(model.dyes[wanted[d]] for d in one[0]): share for one, share in zip(some, shares)})
    return told


def apart(chosen):
    """Whether no dye is taken twice."""
    taken = [dye for dyes in chosen for dye in dyes]
    return len(taken) == len(set(taken))


def log_density(options, spots, ways, which, cov, df, scale):
    """Joint Student density of the spots `which` for many ways at once."""
    count = len(which)
    if count == 0:
        return np.zeros(len(ways))
    joint = np.zeros((len(ways), count, count))
    deviation = np.zeros((len(ways), count))
    weights = []
    for i, k in enumerate(which):
        some = options[k]
        matrix = np.zeros((len(some), len(cov)))
        for number, one in enumerate(some):
            matrix[number, list(one[0])] = 1 / max(len(one[0]), 1)
        weights.append(matrix[ways[:, k]])
        joint[:, i, i] = np.array([one[3] for one in some])[ways[:, k]]
        deviation[:, i] = spots[k]["rf"] - np.array([one[2] for one in some])[ways[:, k]]
    for i, j in itertools.product(range(count), repeat=2):
        joint[:, i, j] += np.einsum("wd,de,we->w", weights[i], cov, weights[j], optimize=True)
    lower = np.linalg.cholesky(joint)
    white = np.linalg.solve(lower, deviation[:, :, None])[:, :, 0]
    log_det = np.log(np.diagonal(lower, axis1=1, axis2=2)).sum(1)
    constant = gammaln((df + count) / 2) - gammaln(df / 2) - count / 2 * np.log(df * np.pi * scale)
    return constant - log_det - (df + count) / 2 * np.log1p((white**2).sum(1) / (df * scale))


def main():
    manifest = json.loads((pathlib.Path(__file__).parent / "../manifest.json").read_text())
    schema = manifest["components"][0]["config_schema"]["properties"]
    config = {name: one["default"] for name, one in schema.items()}
    written = pathlib.Path(__file__).resolve().parents[3] / "target/tmp"
    files = sys.argv[1:] or sorted(written.glob("lanes-*.json"))
    if not files:
        sys.exit(f"no questions in {written}: run `cargo bench -p dyebook-strategy-posterior` first")
    for file in files:
        question = json.loads(pathlib.Path(file).read_text())
        if any("weighed by itself" in spot["reason"] for spot in question["answer"]["spots"]):
            print(f"{file}: too many ways to write out, the crate weighs its spots one by one")
            continue
        model = Model(question, config)
        times, told = [], None
        for _ in range(50):
            begin = time.process_time()
            told = read_lane(model, question)
            times.append(time.process_time() - begin)
        differences = [abs(told[k][tuple(sorted(one["dyes"]))] - one["probability"])
                       for k, spot in enumerate(question["answer"]["spots"]) for one in spot["candidates"]]
        ours = sorted(times)[len(times) // 2] * 1e6
        print(f"{len(model.dyes)} dyes: {ours:.0f} us a lane; {len(differences)} probabilities, "
              f"largest difference {max(differences):.1e}")
        if max(differences) > 1e-9:
            sys.exit("the two don't agree")


if __name__ == "__main__":
    main()
