import { derive } from '../../../src/domain/conclusions/derive.js';
import type { StoredLine } from '../../../src/domain/conclusions/stored-line.js';
import { ENGINE_ALONE } from '../../../src/domain/vehicles/circuits.js';
import type { JobRecord, Plans, VehicleHistory } from '../../../src/domain/conclusions/vehicle-history.js';

const PLANS: Plans = new Map([
  ['light', [{ component: 'coolant', action: 'replace', item: null, everyMonths: 24, anchor: 'completion' }]],
]);
const SETTING = {
  timeZone: 'America/Denver',
  asOf: Date.parse('2026-04-02T15:00:00Z'),
} as const;
const COUNTER = { at: null, lifetime: null, offset: null, rate: null };

const FLUSHED: JobRecord = {
  id: 'flushed',
  at: Date.parse('2025-03-01T18:00:00Z'),
  isBaseline: false,
  isReleased: true,
  odometerLifetimeKm: null,
  engineHoursLifetime: null,
  lines: [
    { component: 'coolant', action: 'replace', item: null, failed: false, lot: null, partNumber: null },
  ],
};

function historyWith(facts: Partial<VehicleHistory>): VehicleHistory {
  return {
    ...{ vehicleId: 'v', unitNumber: 'R-12', depotId: null, status: 'in-use', inUseMonths: null },
    ...{ inServiceOn: '2021-03-15', inServiceOdometerKm: 0, inServiceEngineHours: 0 },
    ...{ expectedDailyKm: null, expectedDailyHours: null, designLowTemperatureC: null },
    ...{ circuits: ENGINE_ALONE, sheet: null, cohort: null, levelUncertainty: {} },
    assignments: [{ effectiveOn: '2021-03-15', duty: 'normal', planId: 'light', status: 'in-use' }],
    summary: { distance: COUNTER, engineHours: COUNTER, checkpoints: [], memory: null },
    hasSummary: false,
    usage: { readings: [], start: null, memory: null, isComplete: true, isChanged: false },
    ...{
      jobs: [],
      readings: [],
      reEvaluations: [],
      faults: [],
      hotDays: [],
      postponements: [],
      alertActions: [],
    },
    ...{ lines: [], alerts: [] },
    ...facts,
  };
}

/** What is told of each line: when it was last done, by what, and when it is due. */
function told(history: VehicleHistory) {
  return derive(history, PLANS, SETTING)?.lines.map(({ lastDoneReportId, lastDoneOn, dueOn }) => ({
    lastDoneReportId,
    lastDoneOn,
    dueOn,
  }));
}

describe('deriving conclusions', () => {
  it('counts an interval from the last job that did its work, and opens what follows it', () => {
    // By the calendar: 2025-03-01 and 24 months; the level is rechecked three days after the
    // circuit
    // was opened (common practice, no source).
    expect(told(historyWith({ jobs: [FLUSHED] }))).toEqual([
      { lastDoneReportId: 'flushed', lastDoneOn: '2025-03-01', dueOn: '2027-03-01' },
      { lastDoneReportId: null, lastDoneOn: null, dueOn: '2025-03-04' },
    ]);
  });

  it('counts an interval from the day the vehicle went into service, where its work was never done', () => {
    expect(told(historyWith({}))).toEqual([
      { lastDoneReportId: null, lastDoneOn: '2021-03-15', dueOn: '2023-03-15' },
    ]);
  });

  it('gives nothing where the jobs were not loaded and no stored line says when the work was last done', () => {
    expect(derive(historyWith({ readings: null }), PLANS, SETTING)).toBeNull();
  });

  it('says the same by the stored line where the jobs were not loaded', () => {
    const [line] = derive(historyWith({ jobs: [FLUSHED] }), PLANS, SETTING)?.lines ?? [];
    const stored = { ...line, id: 'line' } as StoredLine;
    const derived = derive(historyWith({ readings: null, lines: [stored] }), PLANS, SETTING);
    expect(derived?.lines).toEqual([line]);
  });

  it('says the same of the same facts, and leaves them as they are', () => {
    const history = historyWith({ jobs: [FLUSHED] });
    const before = structuredClone(history);
    const derivations = [1, 2].map(() => derive(history, PLANS, SETTING));
    const [first, second] = derivations.map((derived) => ({
      ...derived,
      usage: derived?.usage.conclusion(),
    }));
    expect(second).toEqual(first);
    expect(history).toEqual(before);
  });
});
