import type { LossTrend } from '../../domain/loss/trend/loss-trend.js';
import { inSystem, type MeasureKind, MEASURES, type UnitSystem } from '../../domain/quantities/measures.js';
import { optionalMeasure } from '../../platform/presenting/measures.js';
import { MAX_POINTS, type SeriesName, type TrendPoint, type TrendSeries } from './loss-trend.dto.js';

interface AtUsage {
  at: string;
  odometerKm: number | null;
  engineHours: number | null;
}

/** The unit in which the values of a series are shown. */
interface Shown {
  unit: string;
  of(canonical: number): number;
}

/** What the loss watch knows of one vehicle as series ready to plot, in the reader's units. */
export function seriesOf(trend: LossTrend, units: UnitSystem): TrendSeries[] {
  const volume = plain('volume', units);
  const percent = asIs('%');
  const holdSeries = (method: 'vacuum' | 'pressure'): TrendSeries[] => {
    const tests = trend.holdTests.filter((test) => test.method === method);
    const rate = perMinute(method, units);
    const allowed = tests.at(-1)?.allowedRateKpa ?? null;
    return [
      series(`${method}-hold-rate`, rate, tests, (test) => test.ratePerMinuteKpa, allowed),
      series(`${method}-hold-rate-allowed`, rate, tests, (test) => test.allowedRateKpa),
    ];
  };
  return [
    series('cumulative-loss', volume, trend.cumulativeLoss, (point) => point.lostL),
    series(
      'loss-rate',
      perThousand(units),
      trend.lossPer1000Km,
      (point) => point.lossL,
      trend.usualLossPer1000KmL,
    ),
    series('cusum', asIs('1'), trend.cusum, (point) => point.value, trend.cusum.at(-1)?.limit),
    series('cusum-limit', asIs('1'), trend.cusum, (point) => point.limit),
    series(
      'departure',
      asIs('1'),
      trend.cusum,
      (point) => point.departure,
      trend.cusum.at(-1)?.departureLimit,
    ),
    series('departure-limit', asIs('1'), trend.cusum, (point) => point.departureLimit),
    series('strength', percent, trend.strength, (point) => point.measuredPercent),
    series('expected-strength', percent, trend.strength, (point) => point.expectedPercent),
    ...holdSeries('vacuum'),
    ...holdSeries('pressure'),
  ];
}

function series<P extends AtUsage>(
  name: SeriesName,
  shown: Shown,
  points: readonly P[],
  valueOf: (point: P) => number | null,
  limit: number | null = null,
): TrendSeries {
  const plotted = points.flatMap((point): TrendPoint[] => {
    const value = valueOf(point);
    if (value === null) return [];
    return [
      {
        at: new Date(point.at).toISOString(),
        odometer: optionalMeasure('distance', point.odometerKm),
        engineHours: optionalMeasure('engine-hours', point.engineHours),
        value: shown.of(value),
      },
    ];
  });
  return {
    name,
    unit: shown.unit,
    points: plotted.slice(-MAX_POINTS),
    limit: limit === null ? null : shown.of(limit),
  };
}

const asIs = (unit: string): Shown => ({ unit, of: (value) => value });

function plain(kind: MeasureKind, units: UnitSystem): Shown {
  return { unit: MEASURES[kind][units], of: (value) => inSystem(kind, value, units).value };
}

function perMinute(kind: 'vacuum' | 'pressure', units: UnitSystem): Shown {
  const shown = plain(kind, units);
  return { ...shown, unit: `${shown.unit}/min` };
}

/** Volume per thousand km or per thousand miles. */
function perThousand(units: UnitSystem): Shown {
  const volume = plain('volume', units);
  const distance = plain('distance', units);
  return { unit: `${volume.unit}/1000 ${distance.unit}`, of: (value) => volume.of(value) / distance.of(1) };
}
