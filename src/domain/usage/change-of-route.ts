/** A value (km or h) at a place on the axis of days in use. */
export interface PlacedValue {
  x: number;
  y: number;
}

/**
 * How much a vehicle is used now, if a change of route in the latest weeks is neither certain nor
 * excluded.
 */
export interface UseNow {
  /** km or h a day in use. */
  perDay: number;
  /**
   * Standard deviation of `perDay`, of itself: what is left open about when it changed, and by how
   * much.
   */
  relativeDeviation: number;
  /** The part of it that comes from disagreement between the candidates. */
  relativeSpread: number;
  /** Standard deviation of daily use per √day, of `perDay`. */
  relativeScatter: number;
  /** Number of values used. */
  n: number;
}

/** All found by simulation (docs/domain.md gives the figures). */
const STEP_DAYS = 7;
const RECENT_DAYS = { least: 13, most: 75 };
const EARLIER_DAYS_LEAST = 21;
const LEAST_VALUES = 5;
/**
 * How likely a change in the latest weeks is before anything was read, and how great, as a standard
 * deviation of its logarithm.
 */
const CHANCE_OF_CHANGE = 0.65;
const SIZE_OF_CHANGE = 0.5;
/**
 * Nothing is steadier than a hundredth of a day's use per √day; keeps perfectly even readings from
 * proving everything.
 */
const LEAST_SCATTER = 0.01;

interface Candidate {
  /** Logarithm of the likelihood times the chance beforehand. */
  weight: number;
  /** Logarithm of the rate now, and its variance. */
  logRate: number;
  variance: number;
  scatter2: number;
}

/**
 * How much a vehicle is used now, by weighing every place in the latest weeks at which its use may
 * have changed.
 *
 * The values are thinned to one a week (a week holds the same working days). Daily use is taken to
 * vary by c·r per √day around a rate r. Each place 13 to 75 days before the last value splits the
 * values in two, with the mean rates r₁ over T₁ days before and r₂ over T₂ since, and c² = Σ (Δy/r
 * − Δx)²/Δx over both parts / (increments − 2). Its weight is the likelihood c⁻ⁿ·r₁⁻ⁿ¹·r₂⁻ⁿ², times
 * √(v/(v + τ²))·exp(−d²/2(v + τ²)) for a change by d = ln(r₂/r₁) that is known to v = c²·(1/T₁ +
 * 1/T₂) and was to be expected to be of size τ. The rate by it is ln r = ln r₁ + a·d with a = (τ² +
 * c²/T₁)/(τ² + c²/T₁ + c²/T₂), of variance a·c²/T₂. "No change" is one candidate more. The rate is
 * the weighted mean of the logarithms; its variance is the mean of theirs plus that between them.
 *
 * Source: averaging over the places of one change point by Bayes' rule (a textbook method); its
 * settings were found by simulation, no published source.
 *
 * @param values ascending in x, up to half a year; km or h.
 * @returns null where there are too few values to tell.
 * @example useNow(weekly values at 50 km a day, the last five weeks at 93)?.perDay // about 93
 */
export function useNow(values: readonly PlacedValue[]): UseNow | null {
  const weekly = weeklyFromTheEnd(values);
  if (weekly.length < LEAST_VALUES) return null;
  const candidates = candidatesOf(weekly);
  if (candidates === null) return null;
  const greatest = Math.max(...candidates.map(({ weight }) => weight));
  const weights = candidates.map(({ weight }) => Math.exp(weight - greatest));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = (of: (candidate: Candidate) => number) =>
    candidates.reduce((sum, candidate, index) => sum + weights[index]! * of(candidate), 0) / total;
  const logRate = mean((candidate) => candidate.logRate);
  const spread2 = mean((candidate) => (candidate.logRate - logRate) ** 2);
  return {
    perDay: Math.exp(logRate),
    relativeDeviation: Math.sqrt(mean((candidate) => candidate.variance) + spread2),
    relativeSpread: Math.sqrt(spread2),
    relativeScatter: Math.sqrt(mean((candidate) => candidate.scatter2)),
    n: weekly.length,
  };
}

/** No change, and a change at each of the places; null where no place can be weighed. */
function candidatesOf(weekly: readonly PlacedValue[]): Candidate[] | null {
  const first = weekly[0]!;
  const last = weekly.at(-1)!;
  const n = weekly.length - 1;
  const misfit = misfitLookup(weekly);
  const span = last.x - first.x;
  const overall = (last.y - first.y) / span;
  if (!(overall > 0)) return null;
  const places: Candidate[] = [];
  for (let k = n - 1; k >= 1; k--) {
    const at = weekly[k]!;
    const recent = last.x - at.x;
    const earlier = at.x - first.x;
    if (recent < RECENT_DAYS.least) continue;
    if (recent > RECENT_DAYS.most || earlier < EARLIER_DAYS_LEAST) break;
    const since = (last.y - at.y) / recent;
    const before = (at.y - first.y) / earlier;
    if (!(since > 0 && before > 0)) continue;
    const scatter2 = atLeast((misfit(0, k, before) + misfit(k, n, since)) / (n - 2));
    const change = Math.log(since / before);
    const known = scatter2 * (1 / earlier + 1 / recent);
    const expected = known + SIZE_OF_CHANGE ** 2;
    const share = (expected - scatter2 / recent) / expected;
    places.push({
      weight:
        logLikelihood(scatter2, k, before, n - k, since) +
        0.5 * Math.log(known / expected) -
        change ** 2 / (2 * expected),
      logRate: Math.log(before) + share * change,
      variance: (share * scatter2) / recent,
      scatter2,
    });
  }
  if (places.length === 0) return null;
  for (const place of places) place.weight += Math.log(CHANCE_OF_CHANGE / places.length);
  const scatter2 = atLeast(misfit(0, n, overall) / (n - 1));
  return [
    {
      weight: logLikelihood(scatter2, n, overall, 0, 1) + Math.log(1 - CHANCE_OF_CHANGE),
      logRate: Math.log(overall),
      variance: scatter2 / span,
      scatter2,
    },
    ...places,
  ];
}

const atLeast = (scatter2: number): number => Math.max(scatter2, LEAST_SCATTER ** 2);

function logLikelihood(
  scatter2: number,
  countBefore: number,
  before: number,
  countSince: number,
  since: number,
): number {
  const n = countBefore + countSince;
  return -(n / 2) * Math.log(scatter2) - countBefore * Math.log(before) - countSince * Math.log(since);
}

/** Σ (Δy/r − Δx)²/Δx over the increments from one value to another, from running sums. */
function misfitLookup(values: readonly PlacedValue[]): (from: number, to: number, rate: number) => number {
  const squares = [0];
  for (let i = 1; i < values.length; i++) {
    const [dx, dy] = [values[i]!.x - values[i - 1]!.x, values[i]!.y - values[i - 1]!.y];
    squares.push(squares[i - 1]! + dy ** 2 / dx);
  }
  return (from, to, rate) => {
    const dx = values[to]!.x - values[from]!.x;
    const dy = values[to]!.y - values[from]!.y;
    return Math.max(0, (squares[to]! - squares[from]!) / rate ** 2 - (2 * dy) / rate + dx);
  };
}

function weeklyFromTheEnd(values: readonly PlacedValue[]): PlacedValue[] {
  const kept: PlacedValue[] = [];
  let next = Infinity;
  for (let i = values.length - 1; i >= 0; i--) {
    if (values[i]!.x > next) continue;
    kept.push(values[i]!);
    next = values[i]!.x - STEP_DAYS;
  }
  return kept.reverse();
}
