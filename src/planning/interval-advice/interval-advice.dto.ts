import { MessageView } from '../../platform/words/message.dto.js';
import { ApiProperty } from '@nestjs/swagger';
import { type Component, COMPONENTS, type Duty, DUTIES } from '../../domain/intervals/types.js';
import type { Quantity } from '../../domain/quantities/units.js';
import type { RefusalCode } from '../../domain/reliability/advise-interval.js';
import { LEFT_OUT, type LeftOut } from '../../domain/reliability/part-lives.js';
import { AmountText, Choice, CivilDate, Identifier, QuantityOf, Text } from '../../platform/fields/fields.js';

export const COUNTERS = ['distance', 'engine-hours'] as const;
/** Shows at most this many steps of the survival curve. No screen can show more of them apart. */
export const MAX_STEPS = 400;

const REFUSALS: readonly RefusalCode[] = [
  'too-few-failures',
  'no-law-fits',
  'no-wear-out',
  'no-costs',
  'failure-costs-no-more',
  'band-too-wide',
  'beyond-the-lives',
];

const cost = { optional: true, min: 0.01, max: 1e12 };

export class IntervalAdviceQuery {
  @Choice(COMPONENTS) component!: Component;
  @Text({ optional: true, max: 80, description: 'Which one of several, by its name on the spec sheet' })
  item?: string;
  @Identifier({ optional: true, description: 'The vehicles of this sheet; all unless given' })
  specSheetId?: string;
  @Choice(DUTIES, { optional: true, description: 'Only parts that ran under this duty for their whole life' })
  duty?: Duty;
  @Choice(COUNTERS, {
    optional: true,
    description: 'The counter that lives are measured by; distance unless given',
  })
  by?: (typeof COUNTERS)[number];
  @AmountText({ ...cost, description: 'Full cost of a planned replacement; any currency' })
  plannedCost?: string;
  @AmountText({ ...cost, description: 'Full cost of a failure, with tow and downtime; the same currency' })
  failureCost?: string;
  @CivilDate({
    optional: true,
    description:
      'Work before this day is not on record: parts fitted earlier count from the first reading after it',
  })
  recordsFrom?: string;
}

const count = { type: 'integer', minimum: 0 } as const;
const number = { type: 'number' } as const;
const orNull = { type: 'number', nullable: true } as const;

class RefusalView {
  @ApiProperty({ enum: REFUSALS }) code!: RefusalCode;
  @ApiProperty({ type: () => MessageView, description: 'Why, with the figures' }) detail!: MessageView;
}

class LeftOutView {
  @ApiProperty({ enum: LEFT_OUT }) reason!: LeftOut;
  @ApiProperty(count) count!: number;
  @ApiProperty({ type: () => MessageView }) detail!: MessageView;
}

class DutyCounts {
  @ApiProperty(count) normal!: number;
  @ApiProperty(count) severe!: number;
  @ApiProperty({ ...count, description: 'The duty changed during the life' }) mixed!: number;
}

export class LivesView {
  @ApiProperty({ ...count, description: 'Vehicles that were looked at' }) vehicles!: number;
  @ApiProperty({ ...count, description: 'Lives that count' }) total!: number;
  @ApiProperty({ ...count, description: 'Ended by a replacement that was `failed`' }) failed!: number;
  @ApiProperty({ ...count, description: 'Taken out while still good' }) replaced!: number;
  @ApiProperty(count) running!: number;
  @ApiProperty({ ...count, description: 'Counted from the day records began for them' }) delayed!: number;
  @ApiProperty({ type: () => DutyCounts }) duties!: DutyCounts;
  @QuantityOf('distance', { optional: true, description: 'A distance or engine hours' })
  longest!: Quantity | null;
  @ApiProperty({ type: () => [LeftOutView], description: 'Lives of which too little is known' })
  leftOut!: LeftOutView[];
}

class ShapeView {
  @ApiProperty({ description: 'Above 1 parts wear out; at 1 they fail at random; below 1 early' })
  value!: number;
  @ApiProperty({ description: 'Lower 95 % limit' }) low!: number;
  @ApiProperty({ description: 'Upper 95 % limit' }) high!: number;
  @ApiProperty(number) standardError!: number;
}

class UseView {
  @ApiProperty(number) value!: number;
  @ApiProperty({ example: 'mi' }) unit!: string;
  @ApiProperty({ description: 'Lower 95 % limit' }) low!: number;
  @ApiProperty({ description: 'Upper 95 % limit' }) high!: number;
}

class SpreadView extends UseView {
  @ApiProperty(number) standardError!: number;
}

export class WeibullView {
  @ApiProperty({ type: () => ShapeView }) shape!: ShapeView;
  @ApiProperty({ type: () => SpreadView, description: 'By this use 63 % have failed' }) scale!: SpreadView;
  @ApiProperty({ type: () => SpreadView, description: 'The use by which a tenth have failed' })
  b10!: SpreadView;
  @ApiProperty({ description: 'Of lives in km or h' }) logLikelihood!: number;
}

class SurvivalStepView {
  @ApiProperty({ description: 'In the unit of the curve' }) at!: number;
  @ApiProperty({ description: 'Share that survives it' }) survival!: number;
  @ApiProperty({ ...orNull, description: 'Lower 95 % limit; null where nothing survives' }) low!:
    number | null;
  @ApiProperty({ ...orNull, description: 'Upper 95 % limit' }) high!: number | null;
  @ApiProperty({ ...count, description: 'Parts that had held up to here' }) atRisk!: number;
  @ApiProperty(count) failed!: number;
}

class FittedPointView {
  @ApiProperty(number) at!: number;
  @ApiProperty(number) survival!: number;
}

export class SurvivalView {
  @ApiProperty({ example: 'mi' }) unit!: string;
  @ApiProperty({
    type: () => [SurvivalStepView],
    maxItems: MAX_STEPS,
    description: 'Kaplan–Meier: a step at each',
  })
  steps!: SurvivalStepView[];
  @ApiProperty({ type: () => [FittedPointView], description: 'The fitted Weibull law' })
  fitted!: FittedPointView[];
}

class FitCellView {
  @ApiProperty({ ...orNull, description: 'In the unit of the curve; null: no end' }) upTo!: number | null;
  @ApiProperty(count) failed!: number;
  @ApiProperty(number) expected!: number;
}

export class GoodnessOfFitView {
  @ApiProperty({ type: () => MessageView }) method!: MessageView;
  @ApiProperty(number) statistic!: number;
  @ApiProperty(count) degreesOfFreedom!: number;
  @ApiProperty({ description: 'Below 0.05 the lives do not follow the distribution' }) p!: number;
  @ApiProperty({ type: () => [FitCellView] }) cells!: FitCellView[];
}

class CostPointView {
  @ApiProperty({ description: 'Replaced at this use, or at failure if sooner' }) at!: number;
  @ApiProperty({ description: 'In the currency of the costs, per 1,000 mi or km, or per engine hour' })
  cost!: number;
}

export class CostCurveView {
  @ApiProperty({ example: 'mi' }) unit!: string;
  @ApiProperty({ example: '1000 mi', description: 'What the costs are for' }) per!: string;
  @ApiProperty({ type: () => [CostPointView] }) points!: CostPointView[];
  @ApiProperty({ description: 'Where only failed parts are replaced' }) atFailureOnly!: number;
}

export class OptimumView {
  @ApiProperty({
    type: () => UseView,
    description: 'The cheapest interval, with its 95 % profile-likelihood band',
  })
  interval!: UseView;
  @ApiProperty({ description: 'As in the cost curve' }) cost!: number;
  @ApiProperty({ description: 'Saved against replacing only failed parts' }) savingPercent!: number;
}

export class CurrentIntervalView {
  @ApiProperty({ format: 'uuid' }) intervalPlanId!: string;
  @ApiProperty() name!: string;
  @ApiProperty({ enum: DUTIES }) duty!: Duty;
  @ApiProperty({ type: 'string', nullable: true }) item!: string | null;
  @ApiProperty({ ...count, description: 'Vehicles that follow it' }) vehicles!: number;
  @QuantityOf('distance', { optional: true, description: 'Null: no limit by this counter' })
  every!: Quantity | null;
  @ApiProperty({
    enum: ['sooner', 'within', 'later'],
    nullable: true,
    description:
      'Compared with the band of the optimum; null if nothing is advised or there is no such limit',
  })
  comparison!: 'sooner' | 'within' | 'later' | null;
  @ApiProperty({ description: 'JSON pointer of the interval in its plan', example: '/intervals/3' })
  pointer!: string;
  @ApiProperty({
    type: () => [MessageView],
    description: 'Says that the present interval is ready-made and unconfirmed; empty if it is not',
  })
  basis!: MessageView[];
}

export class IntervalAdviceView {
  @ApiProperty({ enum: ['advised', 'refused'] }) status!: 'advised' | 'refused';
  @ApiProperty({ type: () => [RefusalView], description: 'Why nothing is advised; empty when something is' })
  refusals!: RefusalView[];
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ type: 'string', nullable: true }) item!: string | null;
  @ApiProperty({ type: 'string', format: 'uuid', nullable: true }) specSheetId!: string | null;
  @ApiProperty({ enum: DUTIES, nullable: true, type: 'string' }) duty!: Duty | null;
  @ApiProperty({ enum: COUNTERS }) by!: (typeof COUNTERS)[number];
  @ApiProperty({ type: () => LivesView }) lives!: LivesView;
  @ApiProperty({ type: () => WeibullView, nullable: true }) weibull!: WeibullView | null;
  @ApiProperty({ type: () => SurvivalView }) survival!: SurvivalView;
  @ApiProperty({ type: () => GoodnessOfFitView, nullable: true, description: 'Null below 8 failures' })
  goodnessOfFit!: GoodnessOfFitView | null;
  @ApiProperty({ type: () => CostCurveView, nullable: true }) costCurve!: CostCurveView | null;
  @ApiProperty({ type: () => OptimumView, nullable: true, description: 'Null where nothing is advised' })
  optimum!: OptimumView | null;
  @ApiProperty({
    type: () => [CurrentIntervalView],
    description: "The present intervals of these vehicles' plans",
  })
  currentIntervals!: CurrentIntervalView[];
  @ApiProperty({ type: () => [MessageView], description: 'What to do, in this order' })
  advice!: MessageView[];
  @ApiProperty({ type: () => [MessageView] }) basis!: MessageView[];
  @ApiProperty({ type: () => [MessageView] }) cautions!: MessageView[];
}
