import { SPEC_SHEET } from './scenario.js';

/** The battery's circuit of an invented plug-in hybrid. */
export const BATTERY_CIRCUIT = {
  circuit: 'battery',
  coolant: {
    base: 'ethylene-glycol',
    technology: 'low-conductivity',
    capacity: { value: 6, unit: 'L' },
    targetStrengthPercent: 50,
    capRating: { value: 7, unit: 'psi' },
    condition: { conductivityMaxUsPerCm: 100 },
  },
  holdTest: { method: 'pressure', target: { value: 5, unit: 'psi' }, minutes: 10 },
  parts: [{ component: 'electric-coolant-pump', description: 'battery pump' }],
};

/** An invented plug-in hybrid: the engine's circuit first, and the battery's. */
export const HYBRID_SHEET = {
  ...SPEC_SHEET,
  name: 'Highland 2.0 plug-in',
  otherCircuits: [BATTERY_CIRCUIT],
};

/** Coolant by circuit: the battery's lasts longer. */
export const HYBRID_PLAN = {
  name: 'Plug-in hybrids',
  intervals: [
    { component: 'coolant', action: 'replace', everyMonths: 48 },
    { component: 'coolant', action: 'replace', circuit: 'battery', everyMonths: 72 },
    { component: 'drive-belt', action: 'inspect', everyMonths: 12 },
  ],
};
