import type { CalculatorName } from './calculator-answers.js';
import { belt } from './examples/belt.js';
import { boilOver } from './examples/boil-over.js';
import { dilution } from './examples/dilution.js';
import { freezePoint } from './examples/freeze-point.js';
import { holdTest } from './examples/hold-test.js';
import { projection } from './examples/projection.js';
import { torqueSet } from './examples/torque-set.js';
import { vacuumFill } from './examples/vacuum-fill.js';
import type { CalculatorExample } from './examples/calculator-example.js';

/** A worked example of each calculator for the API document. */
export const CALCULATOR_EXAMPLES: Record<CalculatorName, CalculatorExample> = {
  'hold-test': holdTest,
  'freeze-point': freezePoint,
  dilution,
  'boil-over': boilOver,
  'vacuum-fill': vacuumFill,
  'torque-set': torqueSet,
  belt,
  projection,
};
