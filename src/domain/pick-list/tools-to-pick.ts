import type { KindOfWork } from '../cautions/cautions.js';
import type { WorkLine } from '../intervals/types.js';
import type { StepName } from '../job-card/steps/steps.js';
import { workOf } from '../job-card/work/card-work.js';
import type { Message } from '../message.js';
import { measure, type Measure } from '../quantities/measures.js';
import { message } from './messages.js';
import { type ForVehicle, type VisitToPick, vehicleOf } from './visit-to-pick.js';

/** The tools that a store lends out for this work. */
export const TOOLS = [
  'lock-out-set',
  'catch-pan',
  'refractometer',
  'inhibitor-test',
  'conductivity-meter',
  'combustion-gas-tester',
  'vacuum-filler',
  'pressure-tester',
  'torque-wrench',
  'belt-frequency-meter',
  'belt-tension-gauge',
  'measuring-jug',
] as const;
export type ToolName = (typeof TOOLS)[number];

/** A tool as a term. @example toolTerm('catch-pan') // in words: 'clean catch pan' */
export function toolTerm(tool: ToolName): Message {
  return message(`tool-${tool}`);
}

/** A tool to take along, for all visits that need it. */
export interface ToolToPick {
  tool: ToolName;
  /** The lowest and the highest torque to set; null for other tools. */
  torque: { least: Measure; most: Measure } | null;
  /** Which cautions belong to it; null: none besides those of the whole list. */
  caution: KindOfWork | null;
  for: ForVehicle[];
}

const CAUTION: Readonly<Partial<Record<ToolName, KindOfWork>>> = {
  'lock-out-set': 'high-voltage-coolant',
  'catch-pan': 'cooling-system',
  'conductivity-meter': 'high-voltage-coolant',
  'combustion-gas-tester': 'combustion-gas-test',
  'vacuum-filler': 'vacuum-test',
  'pressure-tester': 'pressure-test',
};

/** Steps that cannot be done without a tool. */
const TOOL_OF_STEP: Readonly<Partial<Record<StepName, ToolName>>> = {
  isolate: 'lock-out-set',
  drain: 'catch-pan',
  'read-strength': 'refractometer',
  'read-conductivity': 'conductivity-meter',
  torque: 'torque-wrench',
  'adjust-strength': 'catch-pan',
  dose: 'measuring-jug',
};

/**
 * The tools for the visits, by what the job cards say: the tester of the hold test, the wrench with
 * the range of its torques, what the strength, the inhibitors and the belt are read with. A tool is
 * listed once, with the vehicles that need it; how many of a tool are taken depends on who works at
 * the same time.
 *
 * Source: common practice, no published source.
 *
 * @returns in the order in which the work needs them
 * @example toolsToPick([a visit for coolant:test]).map(({ tool }) => tool) // ['refractometer', 'inhibitor-test', 'pressure-tester']
 */
export function toolsToPick(visits: readonly VisitToPick[]): ToolToPick[] {
  const needed = visits.map((visit) => ({ visit, tools: toolsOf(visit) }));
  return TOOLS.flatMap((tool) => {
    const of = needed.filter(({ tools }) => tools.has(tool)).map(({ visit }) => visit);
    if (of.length === 0) return [];
    const torque = tool === 'torque-wrench' ? torqueRange(of) : null;
    return [{ tool, torque, caution: CAUTION[tool] ?? null, for: of.map(vehicleOf) }];
  });
}

function toolsOf({ card, lines }: VisitToPick): Set<ToolName> {
  const { testsForGas, provesNoGas } = workOf(lines);
  const tests = [card, ...card.otherCircuits].flatMap(({ holdTest, proofTest }) => [holdTest, proofTest]);
  const methods = tests.flatMap((test) => (test === null ? [] : [test.method]));
  const tensions = card.belts.flatMap(({ tension }) => tension ?? []);
  const is = (tool: ToolName, isNeeded: boolean): ToolName[] => (isNeeded ? [tool] : []);
  return new Set([
    ...card.steps.flatMap(({ step }) => TOOL_OF_STEP[step] ?? []),
    ...is('inhibitor-test', lines.some(readsInhibitors)),
    ...is('combustion-gas-tester', testsForGas || provesNoGas),
    ...is('vacuum-filler', methods.includes('vacuum')),
    ...is('pressure-tester', methods.includes('pressure') || lines.some(testsCap)),
    ...is(
      'belt-frequency-meter',
      tensions.some((one) => one.frequencyMinHz !== null || one.frequencyMaxHz !== null),
    ),
    ...is(
      'belt-tension-gauge',
      tensions.some((one) => one.deflectionMin !== null || one.deflectionMax !== null),
    ),
  ]);
}

const readsInhibitors = ({ component, action }: WorkLine): boolean =>
  component === 'coolant' && (action === 'test' || action === 'adjust');

const testsCap = ({ component, action }: WorkLine): boolean =>
  component === 'radiator-cap' && action === 'test';

/** Null where no torque is known: the step says where to take it from. */
function torqueRange(visits: readonly VisitToPick[]): ToolToPick['torque'] {
  const fasteners = visits.flatMap(({ card }) => card.fasteners);
  if (fasteners.length === 0) return null;
  return {
    least: measure('torque', Math.min(...fasteners.map(({ min }) => min.value))),
    most: measure('torque', Math.max(...fasteners.map(({ max }) => max.value))),
  };
}
