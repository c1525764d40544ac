import { ApiProperty } from '@nestjs/swagger';
import { type Action, ACTIONS, type Component, COMPONENTS } from '../../domain/intervals/types.js';
import { type CircuitName, CIRCUITS } from '../../domain/vehicles/circuits.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { Amount, Choice, Flag, Nested, NestedList, QuantityOf, Text } from '../../platform/fields/fields.js';
import { pageClass } from '../../platform/pages/pages.js';
import { Starter, StarterMarkView } from '../starter-mark/starter-mark.dto.js';

export const ANCHORS = ['completion', 'schedule'] as const;

/** Generous limits: even an interval of one hour, of 10 km or of sixty years is surely a slip. */
const DISTANCE = { optional: true, min: 10, max: 2_000_000 };
const MONTHS = { optional: true, min: 1, max: 720, integer: true };
const ENGINE_HOURS = { optional: true, min: 1, max: 100_000 };

export class IntervalLimits {
  @QuantityOf('distance', DISTANCE) everyDistance?: Quantity | null;
  @Amount({ ...MONTHS, description: 'Calendar months' }) everyMonths?: number | null;
  @QuantityOf('engine-hours', ENGINE_HOURS) everyEngineHours?: Quantity | null;
}

export class SevereIntervalLimits extends IntervalLimits {
  @Nested(() => IntervalLimits, { optional: true, description: 'The first time, under severe duty' })
  first?: IntervalLimits | null;
}

export class IntervalMargin {
  @QuantityOf('distance', { optional: true, max: 200_000 }) distance?: Quantity | null;
  @Amount({ optional: true, min: 0, max: 3650, integer: true }) days?: number | null;
  @QuantityOf('engine-hours', { optional: true, max: 10_000 }) engineHours?: Quantity | null;
}

export class IntervalInput extends IntervalLimits {
  @Choice(COMPONENTS) component!: Component;
  @Choice(ACTIONS) action!: Action;
  @Text({
    optional: true,
    max: 80,
    description: 'Which one of several: the belt or hose by its name on the spec sheet',
  })
  item?: string | null;
  @Choice(CIRCUITS, {
    optional: true,
    description:
      'The circuit, by its name on the spec sheets; the first unless given. A vehicle without this circuit has no such line',
  })
  circuit?: CircuitName | null;
  @Nested(() => IntervalLimits, { optional: true, description: 'The first time, where it differs' })
  first?: IntervalLimits | null;
  @Nested(() => SevereIntervalLimits, { optional: true, description: 'Under severe duty' })
  severe?: SevereIntervalLimits | null;
  @Nested(() => IntervalMargin, {
    optional: true,
    description: 'How long before the due point the work may be done',
  })
  window?: IntervalMargin | null;
  @Nested(() => IntervalMargin, {
    optional: true,
    description: 'How long after the due point it is not yet late',
  })
  grace?: IntervalMargin | null;
  @Flag({
    optional: true,
    description: "Also due 14 days before the vehicle's next season (inUseMonths), if that comes first",
  })
  beforeSeason?: boolean | null;
  @Choice(ANCHORS, {
    optional: true,
    description: 'Counted from when it was done (the default), or on a fixed grid',
  })
  anchor?: (typeof ANCHORS)[number] | null;
}

export class IntervalPlanInput {
  @Text({ max: 120 }) name!: string;
  @NestedList(() => IntervalInput, { min: 1, max: 200 }) intervals!: IntervalInput[];
}

export class IntervalPlanView extends IntervalPlanInput {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @Starter() starter!: StarterMarkView | null;
  @ApiProperty() version!: number;
}

/** What a change to a plan would do. The result of a dry run. */
export class IntervalPlanDryRun {
  @ApiProperty({ enum: [true] }) dryRun!: true;
  @ApiProperty({ format: 'date', description: "The fleet's today" }) asOf!: string;
  @ApiProperty({ description: 'Lines that are not due today, and would be due or late' })
  wouldComeDue!: number;
  @ApiProperty({ description: 'Lines that are due or late today, and would not be' })
  wouldNotBeDue!: number;
  @ApiProperty({ description: 'Lines that are not late today, and would be' })
  wouldBecomeLate!: number;
  @ApiProperty({ description: 'Lines that would be due on an earlier day, now or in the future' })
  wouldMoveEarlier!: number;
  @ApiProperty({ description: 'Lines that would be due on a later day, or without a date' })
  wouldMoveLater!: number;
  @ApiProperty({ description: 'Lines that do not exist yet' })
  wouldBegin!: number;
  @ApiProperty({ description: 'Open lines that would be gone: the plan no longer has their interval' })
  wouldEnd!: number;
}

export const IntervalPlanPage = pageClass(IntervalPlanView, 'IntervalPlanPage');
