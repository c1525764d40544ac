import { vehicleFacts } from '../../../src/domain/conclusions/loss-facts.js';
import type { ReadingRecord, VehicleHistory } from '../../../src/domain/conclusions/vehicle-history.js';
import { ENGINE_ALONE } from '../../../src/domain/vehicles/circuits.js';
import type { Reading } from '../../../src/domain/readings/kinds.js';

const FREEZE_POINT: Reading = { kind: 'freeze-point', method: 'refractometer', value: -37, unit: 'C' };
const FILL: Reading = { kind: 'fill', drainedL: 9, addedL: 9, unit: 'L' };
const WARM_UP: Reading = {
  ...{ kind: 'warm-up-check', heatAtVents: true, fanCycled: true, thermostatOpened: true },
  ...{ temperatureSteady: true, leakSeen: false, levelAfterCooling: 'at-mark' },
};

/** Whether the coolant in the sample had mixed, by the readings of one job in their order. */
function isMixed(...readings: Reading[]): boolean {
  const records = readings.map((canonical, position): ReadingRecord => ({
    ...{ id: `r${position}`, jobId: 'job', position, kind: canonical.kind, at: 0, canonical, limits: {} },
    ...{ odometerLifetimeKm: null, engineHoursLifetime: null },
    evaluation: { verdict: 'pass', reasons: [], computed: {}, cautions: [], basis: [] },
  }));
  const history = {
    circuits: ENGINE_ALONE,
    readings: records,
    jobs: [],
    faults: [],
    alertActions: [],
    assignments: [],
    sheet: null,
  };
  const { events } = vehicleFacts(history as unknown as VehicleHistory, () => null);
  return events.some((fact) => fact.kind === 'freeze-point' && fact.mixed === true);
}

describe('a sample taken at a job', () => {
  it('has mixed once the job warmed the engine up', () => {
    expect(isMixed(FILL, WARM_UP, FREEZE_POINT)).toBe(true);
    expect(isMixed(FILL, FREEZE_POINT)).toBe(false);
  });

  it('holds nothing of what was poured in after it', () => {
    expect(isMixed(FREEZE_POINT, FILL, WARM_UP)).toBe(false);
  });
});
