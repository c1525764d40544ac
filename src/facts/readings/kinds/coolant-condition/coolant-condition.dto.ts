import {
  COOLANT_APPEARANCES,
  type CoolantAppearance,
} from '../../../../domain/coolant-condition/coolant-condition.js';
import { Amount, Choice, CivilDate, Nested, NestedList, Text } from '../../../../platform/fields/fields.js';
import type { CircuitName } from '../../../../domain/vehicles/circuits.js';
import { OfCircuit } from '../of-circuit.js';
import { Kind } from '../posted-kind.js';
import { TestStripInput } from '../test-strip.dto.js';

export class LaboratoryValueInput {
  @Text({
    max: 60,
    description:
      'As the report has it, such as chloride; pH, nitrite and molybdate count as if typed in their own fields',
  })
  name!: string;
  @Amount({ min: -1_000_000, max: 1_000_000 }) value!: number;
  @Text({ optional: true, max: 20, example: 'mg/L' }) unit?: string | null;
  @Amount({ optional: true, min: -1_000_000, max: 1_000_000, description: "The report's own limit" })
  min?: number | null;
  @Amount({ optional: true, min: -1_000_000, max: 1_000_000, description: "The report's own limit" })
  max?: number | null;
}

export class LaboratoryReportInput {
  @Text({ optional: true, max: 120 }) laboratory?: string | null;
  @Text({ optional: true, max: 80 }) reportNumber?: string | null;
  @CivilDate({ optional: true }) sampledOn?: string | null;
  @NestedList(() => LaboratoryValueInput, { optional: true, max: 60 }) values?: LaboratoryValueInput[] | null;
  @Text({ optional: true, max: 2000 }) remarks?: string | null;
}

export class CoolantConditionInput {
  @Kind('coolant-condition') kind!: 'coolant-condition';
  @OfCircuit() circuit?: CircuitName | null;
  @Amount({ optional: true, min: 0, max: 14 }) pH?: number | null;
  @Amount({ optional: true, min: 0, max: 100_000 }) nitriteMgPerL?: number | null;
  @Amount({ optional: true, min: 0, max: 100_000 }) molybdateMgPerL?: number | null;
  @Amount({ optional: true, min: 0, max: 100 }) scaUnitsPerGallon?: number | null;
  @Amount({ optional: true, min: 0, max: 100, description: 'By ASTM D1121' }) reserveAlkalinityMl?:
    number | null;
  @Choice(COOLANT_APPEARANCES, { optional: true }) appearance?: CoolantAppearance | null;
  @Nested(() => TestStripInput, {
    optional: true,
    description: 'The test strip that the values were read with',
  })
  strip?: TestStripInput | null;
  @Nested(() => LaboratoryReportInput, {
    optional: true,
    description: 'The laboratory that measured the values',
  })
  laboratory?: LaboratoryReportInput | null;
}
