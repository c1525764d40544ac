import { ApiProperty, type ApiPropertyOptions } from '@nestjs/swagger';
import { COOLANT_BASES, type CoolantBase } from '../../../../domain/coolant/coolant.js';
import {
  FREEZE_POINT_METHODS,
  FREEZE_POINT_UNITS,
  type FreezePointMethod,
} from '../../../../domain/strength/freeze-point-value.js';
import { dimensionOf, type Quantity, type Unit, unitsOf } from '../../../../domain/quantities/units.js';
import { Choice, Nested, QuantityByChoice } from '../../../../platform/fields/fields.js';
import type { CircuitName } from '../../../../domain/vehicles/circuits.js';
import { OfCircuit } from '../of-circuit.js';
import { Kind } from '../posted-kind.js';
import { TestStripInput } from '../test-strip.dto.js';

const SCALES = [...new Set<Unit>(Object.values(FREEZE_POINT_UNITS))];

/**
 * The units in which an instrument can be read. When the instrument is unknown, the units of all
 * instruments.
 */
export function freezePointUnits({ method }: { method?: unknown }): Unit[] {
  const known = FREEZE_POINT_METHODS.find((candidate) => candidate === method);
  const scales = known ? [FREEZE_POINT_UNITS[known]] : SCALES;
  return scales.flatMap((unit) => unitsOf(dimensionOf(unit)));
}

export class FreezePointInput {
  @Kind('freeze-point') kind!: 'freeze-point';
  @OfCircuit() circuit?: CircuitName | null;
  @Choice(COOLANT_BASES, { optional: true }) base?: CoolantBase | null;
  @Choice(COOLANT_BASES, { optional: true, description: "The base the instrument's scale is for" })
  scale?: CoolantBase | null;
  @Choice(FREEZE_POINT_METHODS) method!: FreezePointMethod;
  // The quantity is required (`selfRequired`), and so are its value and its unit.
  @ApiProperty({ required: ['value', 'unit'], selfRequired: true } as ApiPropertyOptions)
  @QuantityByChoice(freezePointUnits, ['F', 'C', 'nD', 'Brix', '%'], { example: { value: -36, unit: 'C' } })
  value!: Quantity;
  @Nested(() => TestStripInput, { optional: true, description: 'The strip, where the method is test-strip' })
  strip?: TestStripInput | null;
}
