import { ApiProperty } from '@nestjs/swagger';
import { type Action, ACTIONS, type Component, COMPONENTS } from '../../domain/intervals/types.js';
import { type Preparation, PREPARATIONS } from '../../domain/visits/labour-hours.js';
import type { Quantity } from '../../domain/quantities/units.js';
import {
  Amount,
  Choice,
  Choices,
  Nested,
  NestedList,
  QuantityOf,
  Text,
  Texts,
} from '../../platform/fields/fields.js';
import { type CircuitName, CIRCUITS } from '../../domain/vehicles/circuits.js';
import { pageClass } from '../../platform/pages/pages.js';
import { Starter, StarterMarkView } from '../starter-mark/starter-mark.dto.js';
import { CoolantSpec } from './coolant-spec.dto.js';

export const HOLD_TEST_METHODS = ['vacuum', 'pressure'] as const;
export type HoldTestMethod = (typeof HOLD_TEST_METHODS)[number];

export class HoldTestSpec {
  @Choice(HOLD_TEST_METHODS) method!: HoldTestMethod;
  // These limits only keep numbers finite. Later checks reject impossible values, with the reason
  // and the unit that was probably meant.
  @QuantityOf('vacuum', { optional: true, min: -5000, max: 5000, description: 'A vacuum as at sea level' })
  target?: Quantity | null;
  @Amount({ optional: true, min: 0.5, max: 240 }) minutes?: number | null;
  @QuantityOf('vacuum', {
    optional: true,
    min: -5000,
    max: 5000,
    description: 'Loss allowed in these minutes',
  })
  allowedLoss?: Quantity | null;
}

export class FastenerSpec {
  @Text({ max: 80, description: 'Unique on the sheet; torque sets name it' }) name!: string;
  @Amount({ min: 1, max: 200, integer: true }) count!: number;
  @Choice(COMPONENTS, {
    optional: true,
    description:
      'The component it holds: a job card lists the group when that is taken apart, and a drain plug (component coolant) when the coolant is drained. Unless given, it is listed with every part that has bolts',
  })
  component?: Component | null;
  @QuantityOf('torque', { optional: true, min: 0.1 }) torque?: Quantity | null;
  @Amount({
    optional: true,
    min: 0,
    max: 50,
    description: 'Of the torque; 10 unless given (common practice)',
  })
  tolerancePercent?: number | null;
  @QuantityOf('torque', { optional: true, min: 0.1, description: 'Least torque, together with max' })
  min?: Quantity | null;
  @QuantityOf('torque', { optional: true, min: 0.1, description: 'Greatest torque, together with min' })
  max?: Quantity | null;
  @Text({ optional: true, max: 120, description: 'Further turning after the torque, in words' })
  angle?: string | null;
}

export class TensionRangeSpec {
  @Amount({ optional: true, min: 1, max: 1000, description: 'Hz' }) frequencyMinHz?: number | null;
  @Amount({ optional: true, min: 1, max: 1000, description: 'Hz' }) frequencyMaxHz?: number | null;
  @QuantityOf('size', { optional: true, min: 0.1, description: 'At the deflection force' })
  deflectionMin?: Quantity | null;
  @QuantityOf('size', { optional: true, min: 0.1, description: 'At the deflection force' })
  deflectionMax?: Quantity | null;
}

export class BeltTensionSpec {
  @Nested(() => TensionRangeSpec, { optional: true, description: 'For a belt that has run in' })
  inService?: TensionRangeSpec | null;
  @Nested(() => TensionRangeSpec, {
    optional: true,
    description: 'For a belt that has not run yet; as in service unless given',
  })
  newBelt?: TensionRangeSpec | null;
  @QuantityOf('force', { optional: true, min: 0.1, description: 'Applied at the middle of the span' })
  deflectionForce?: Quantity | null;
  @Amount({
    optional: true,
    min: 0.001,
    max: 10,
    description: 'Mass of one metre of the belt, kg; with it and the span a frequency gives the tension',
  })
  massKgPerM?: number | null;
}

export class BeltSpec {
  @Text({ max: 80, description: 'Unique among the belts; job lines and intervals name it as their item' })
  name!: string;
  @Text({ optional: true, max: 40, example: '6PK1880' }) designation?: string | null;
  @Nested(() => BeltTensionSpec, { optional: true, description: 'Where it is tensioned by hand' })
  tension?: BeltTensionSpec | null;
  @QuantityOf('size', {
    optional: true,
    min: 0.1,
    description: "Greatest swing of its automatic tensioner's arm at idle, end to end",
  })
  tensionerArmSwingMax?: Quantity | null;
}

export class PartSpec {
  @Choice(COMPONENTS) component!: Component;
  @Text({ max: 200 }) description!: string;
  @Amount({ optional: true, min: 1, max: 1000, integer: true, description: '1 unless given' })
  quantity?: number | null;
  @Text({ optional: true, max: 80 }) partNumber?: string | null;
}

export class PreparationSpec {
  @Choice(PREPARATIONS) preparation!: Preparation;
  @Amount({ min: 0, max: 100, description: 'Once a visit, however many lines need it' }) hours!: number;
}

export class LineLabourSpec {
  @Choice(COMPONENTS) component!: Component;
  @Choice(ACTIONS) action!: Action;
  @Amount({ min: 0, max: 200, description: 'Once the way to it is open' }) hours!: number;
  @Choices(PREPARATIONS, {
    optional: true,
    description: 'Access work for it, besides taking the vehicle in; the general list unless given',
  })
  preparations?: Preparation[] | null;
}

export class LabourSpec {
  @NestedList(() => PreparationSpec, { optional: true, max: PREPARATIONS.length })
  preparations?: PreparationSpec[] | null;
  @NestedList(() => LineLabourSpec, { optional: true, max: COMPONENTS.length * ACTIONS.length })
  lines?: LineLabourSpec[] | null;
}

/** What each coolant circuit has of its own. */
export class CircuitSpecInput {
  @Nested(() => CoolantSpec) coolant!: CoolantSpec;
  @Nested(() => HoldTestSpec, { optional: true, description: 'Common practice where not given' })
  holdTest?: HoldTestSpec | null;
  @NestedList(() => PartSpec, { optional: true, max: 200 }) parts?: PartSpec[] | null;
  @Nested(() => LabourSpec, {
    optional: true,
    description: 'Standard hours for planning visits; common practice if not given',
  })
  labour?: LabourSpec | null;
}

export class OtherCircuitSpec extends CircuitSpecInput {
  @Choice(CIRCUITS, { description: 'Another than the first, and each once' }) circuit!: CircuitName;
}

export class SpecSheetInput extends CircuitSpecInput {
  @Text({ max: 120 }) name!: string;
  @Choice(CIRCUITS, {
    optional: true,
    description:
      'The first circuit, which `coolant`, `holdTest`, `parts` and `labour` are about; engine unless given. Records that name no circuit are about this one',
  })
  circuit?: CircuitName | null;
  @Text({ optional: true, max: 80, description: 'What else is to be said of the first circuit' })
  circuitNote?: string | null;
  @NestedList(() => OtherCircuitSpec, {
    optional: true,
    max: CIRCUITS.length - 1,
    description: 'The circuits besides the first',
  })
  otherCircuits?: OtherCircuitSpec[] | null;
  @NestedList(() => FastenerSpec, { optional: true, max: 100 }) fasteners?: FastenerSpec[] | null;
  @NestedList(() => BeltSpec, { optional: true, max: 20 }) belts?: BeltSpec[] | null;
  @Texts({ optional: true, max: 80, maxItems: 40, description: 'Names, each once' }) hoses?: string[] | null;
}

export class SpecSheetView extends SpecSheetInput {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @Starter() starter!: StarterMarkView | null;
  @ApiProperty() version!: number;
}

export const SpecSheetPage = pageClass(SpecSheetView, 'SpecSheetPage');
