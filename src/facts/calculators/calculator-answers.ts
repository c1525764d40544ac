import { ApiProperty, type ApiPropertyOptions } from '@nestjs/swagger';
import { type ComputedValue, type Evaluation, VERDICTS } from '../../domain/evaluation/evaluation.js';
import { MessageView } from '../../platform/words/message.dto.js';
import { type MeasureKind, MEASURES } from '../../domain/quantities/measures.js';

type Shown = MeasureKind | 'rate' | 'torques' | 'positions' | 'number' | 'integer' | 'text' | 'flag' | 'date';

/**
 * The values that each calculator returns, by name. It returns exactly these; a value that cannot
 * be computed is null.
 */
export const COMPUTED = {
  'hold-test': {
    loss: 'vacuum',
    temperatureCorrectedLoss: 'vacuum',
    expandedUncertainty: 'vacuum',
    ratePerMinute: 'vacuum',
    allowedLossHere: 'vacuum',
    leakRatePaM3PerS: 'number',
    standardCm3PerMin: 'number',
    atmosphere: 'vacuum',
    greatestVacuum: 'vacuum',
    targetHere: 'vacuum',
    targetOnGauge: 'vacuum',
    temperatureInDoubt: 'flag',
    overPressured: 'flag',
    lostTooMuch: 'flag',
  },
  'freeze-point': {
    freezePoint: 'temperature',
    strengthVolumePercent: 'number',
    strengthMassPercent: 'number',
    table: 'text',
    beyondTable: 'flag',
  },
  dilution: { drain: 'volume', resultStrengthPercent: 'number' },
  'boil-over': { boilsAt: 'temperature', absolutePressure: 'pressure' },
  'vacuum-fill': {
    airLeftFraction: 'number',
    expectedUptake: 'volume',
    topUpBeforeStart: 'volume',
    greatestVacuum: 'vacuum',
  },
  'torque-set': { torques: 'torques', outside: 'positions', overTightened: 'positions', missing: 'integer' },
  belt: {
    ribs: 'integer',
    effectiveLength: 'size',
    width: 'size',
    alignmentDegrees: 'number',
    slipPercent: 'number',
  },
  projection: {
    dailyDistance: 'rate',
    method: 'text',
    estimatedOdometer: 'distance',
    trigger: 'text',
    windowOpensOn: 'date',
    dueOn: 'date',
    lateOn: 'date',
    earliestOn: 'date',
    latestOn: 'date',
  },
} as const satisfies Record<string, Record<string, Shown>>;

export type CalculatorName = keyof typeof COMPUTED;

export const CALCULATORS = Object.keys(COMPUTED) as CalculatorName[];

/** The evaluation with exactly the values that its calculator returns. */
export function answerOf(name: CalculatorName, evaluation: Evaluation): Evaluation {
  const computed: Record<string, ComputedValue> = {};
  for (const key of Object.keys(COMPUTED[name])) computed[key] = evaluation.computed[key] ?? null;
  return { ...evaluation, computed };
}

const NUMBER = { type: 'number' } as const;

function quantitySchema(kind: MeasureKind, more: Record<string, object> = {}): ApiPropertyOptions {
  const { us, si } = MEASURES[kind];
  // A hold test shows its pressures as vacuums or as pressures, depending on the method.
  const units = kind === 'vacuum' ? ['inHg', 'psi', 'kPa'] : [...new Set([us, si])];
  return {
    type: 'object',
    properties: { value: NUMBER, unit: { type: 'string', enum: units }, ...more },
    required: ['value', 'unit', ...Object.keys(more)],
  };
}

function schemaOf(shown: Shown): ApiPropertyOptions {
  switch (shown) {
    case 'number':
      return { ...NUMBER, nullable: true };
    case 'integer':
      return { type: 'integer', nullable: true };
    case 'text':
      return { type: 'string', nullable: true };
    case 'flag':
      return { type: 'boolean', nullable: true };
    case 'date':
      return { type: 'string', format: 'date', nullable: true };
    case 'positions':
      return {
        type: 'array',
        items: { type: 'integer' },
        description: 'Counted from 1',
      };
    case 'torques':
      return { type: 'array', items: quantitySchema('torque') } as ApiPropertyOptions;
    case 'rate':
      return {
        ...quantitySchema('distance', { low: NUMBER, high: NUMBER }),
        nullable: true,
      };
    default:
      return { ...quantitySchema(shown), nullable: true };
  }
}

function pascal(name: string): string {
  return name.replaceAll(/(?:^|-)(\w)/g, (_match, letter: string) => letter.toUpperCase());
}

/** The class of a calculator's response, for the API document. */
export function answerClass(name: CalculatorName): new () => object {
  const computed = class {};
  Object.defineProperty(computed, 'name', { value: `${pascal(name)}Computed` });
  for (const [key, shown] of Object.entries<Shown>(COMPUTED[name]))
    ApiProperty(schemaOf(shown))(computed.prototype, key);

  class Answer {
    @ApiProperty({
      type: 'string',
      enum: VERDICTS,
      nullable: true,
      description: 'Null where there is no limit to judge by',
    })
    verdict!: string | null;
    @ApiProperty({ type: () => [MessageView], description: 'Why, in plain words with the numbers' })
    reasons!: MessageView[];
    @ApiProperty({ type: () => computed, description: 'Null where it cannot be known from what was given' })
    computed!: object;
    @ApiProperty({ type: () => [MessageView], description: 'The safety cautions that go with this work' })
    cautions!: MessageView[];
    @ApiProperty({ type: () => [MessageView], description: 'The table, formula, limit and default used' })
    basis!: MessageView[];
  }
  Object.defineProperty(Answer, 'name', { value: `${pascal(name)}Evaluation` });
  return Answer;
}
