import { ApiProperty } from '@nestjs/swagger';
import type { Quantity } from '../../domain/quantities/units.js';
import { type CircuitName, CIRCUITS } from '../../domain/vehicles/circuits.js';
import { NamedCircuit } from '../../platform/fields/named-circuit.js';
import { Choice, QuantityOf } from '../../platform/fields/fields.js';

/** A series shows at most this many of its latest points. No screen can show more of them apart. */
export const MAX_POINTS = 500;

export const SERIES_NAMES = [
  'cumulative-loss',
  'loss-rate',
  'cusum',
  'cusum-limit',
  'departure',
  'departure-limit',
  'strength',
  'expected-strength',
  'vacuum-hold-rate',
  'vacuum-hold-rate-allowed',
  'pressure-hold-rate',
  'pressure-hold-rate-allowed',
] as const;
export type SeriesName = (typeof SERIES_NAMES)[number];

export class TrendPoint {
  @ApiProperty({ format: 'date-time' }) at!: string;
  @QuantityOf('distance', { optional: true, description: 'Lifetime distance: replaced counters are bridged' })
  odometer!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true, description: 'Lifetime engine hours' })
  engineHours!: Quantity | null;
  @ApiProperty({ description: 'In the unit of the series' }) value!: number;
}

export class TrendSeries {
  @ApiProperty({
    enum: SERIES_NAMES,
    description:
      "What is plotted: total known loss; loss by distance (25 engine hours count as 1,000 km); the leak indicator, and how far each level was off this vehicle's usual loss, both in standard deviations and with their limits; measured strength by volume, and the strength expected from recorded top-ups; hold-test rates and the rate allowed at each",
  })
  name!: SeriesName;
  @ApiProperty({
    description: "The unit of the values, in the reader's system; 1 for a number without a unit",
    example: 'qt/1000 mi',
  })
  unit!: string;
  @ApiProperty({
    type: () => [TrendPoint],
    maxItems: MAX_POINTS,
    description: `In time order; the latest ${MAX_POINTS} of them`,
  })
  points!: TrendPoint[];
  @ApiProperty({
    type: 'number',
    nullable: true,
    description:
      'A line to draw: the usual loss, the latest limit of the leak indicator and of a departure (an alert is raised above it), or the rate that the latest hold test allowed; null if there is none',
  })
  limit!: number | null;
}

export class LossTrendQuery {
  @Choice(CIRCUITS, {
    optional: true,
    description: 'The circuit, by its name on the spec sheet; the first unless given',
  })
  circuit?: CircuitName;
}

export class LossTrendView {
  @NamedCircuit() circuit?: CircuitName;
  @ApiProperty({
    type: () => [TrendSeries],
    description: 'Every series, even without points, always in the same order',
  })
  series!: TrendSeries[];
}
