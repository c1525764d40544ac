import { v7 as uuidv7 } from 'uuid';
import { goodJob, SPEC_SHEET, type Scenario } from '../scenario.js';

/** The service's time; the bodies are valid for it. */
export const NOW = '2026-04-02T15:00:00Z';

export const TARGET = { kind: 'webhook', address: 'http://127.0.0.1:9/hook' };

export type GoodBodies = ReturnType<typeof goodBodies>;

/**
 * A valid body of each kind, with every field that it can have. Names and ids are new each time.
 */
export function goodBodies(scenario: Scenario, vehicleIds: readonly string[]) {
  let turn = 0;
  const fresh = (name: string): string => `${name} ${++turn}`;
  const nextVehicle = (): string => vehicleIds[++turn % vehicleIds.length] as string;
  const visitPlan = () => ({
    ...{ from: '2026-04-06', to: '2026-05-01', depotIds: [scenario.depotId] },
    ...{ labourRate: 80, downtimeCostPerDay: 200, latenessCostPerDay: 50 },
  });
  const depot = () => ({
    name: fresh('Depot'),
    elevation: { value: 1500, unit: 'm' },
    designLowTemperature: { value: -30, unit: 'C' },
    labourHoursPerDay: 12,
    workingDays: ['monday', 'tuesday'],
    closedOn: ['2026-12-25'],
  });
  const person = () => ({
    ...{ name: fresh('Kim'), badge: fresh('Badge'), role: 'mechanic', depotIds: [scenario.depotId] },
    ...{ language: 'es', state: 'active' },
  });
  const sheet = () => ({
    ...SPEC_SHEET,
    name: fresh('Sheet'),
    coolant: { ...SPEC_SHEET.coolant, strengthMax: 60, maxTestPressure: { value: 16, unit: 'psi' } },
    fasteners: [
      {
        name: 'a',
        count: 9,
        component: 'water-pump',
        torque: { value: 11, unit: 'N.m' },
        tolerancePercent: 10,
        angle: '90 degrees',
      },
    ],
    parts: [{ component: 'water-pump', description: 'pump', quantity: 1, partNumber: 'WP-1' }],
    labour: {
      preparations: [{ preparation: 'belt-off', hours: 0.8 }],
      lines: [{ component: 'water-pump', action: 'replace', hours: 3, preparations: ['drain-and-fill'] }],
    },
  });
  const plan = () => ({
    name: fresh('Plan'),
    intervals: [
      {
        component: 'coolant',
        action: 'replace',
        item: 'main',
        everyDistance: { value: 100_000, unit: 'mi' },
        everyMonths: 96,
        everyEngineHours: { value: 4000, unit: 'h' },
        first: { everyMonths: 120 },
        severe: { everyMonths: 60, everyDistance: { value: 60_000, unit: 'mi' } },
        window: { distance: { value: 2000, unit: 'mi' }, days: 30, engineHours: { value: 50, unit: 'h' } },
        grace: { days: 14 },
        anchor: 'completion',
      },
    ],
  });
  const vehicle = () => ({
    unitNumber: fresh('V'),
    depotId: scenario.depotId,
    specSheetId: scenario.specSheetId,
    intervalPlanId: scenario.intervalPlanId,
    duty: 'severe',
    status: 'in-use',
    make: 'Invented',
    model: 'Mule',
    modelYear: 2021,
    mountedOn: scenario.vehicleId,
    inUseMonths: [4, 5, 6],
    inServiceOn: '2021-03-15',
    inServiceOdometer: { value: 12, unit: 'mi' },
    inServiceEngineHours: { value: 1, unit: 'h' },
    expectedDailyDistance: { value: 40, unit: 'mi' },
    expectedDailyEngineHours: { value: 2, unit: 'h' },
    designLowTemperature: { value: -20, unit: 'F' },
  });
  const usual = goodJob('', NOW, 1).readings as { kind: string }[];
  const usualOf = (kind: string): object | undefined => usual.find((reading) => reading.kind === kind);
  const job = () => ({
    ...goodJob(nextVehicle(), '2026-04-01T08:20:00-06:00', 20_000),
    // The other kinds are tried one by one, as readings outside a job.
    readings: [usualOf('hold-test'), usualOf('top-up')],
    id: uuidv7(),
    sentAt: '2026-04-01T09:00:00-06:00',
    engineHours: { value: 700, unit: 'h' },
    elevation: { value: 1500, unit: 'm' },
    workedAtDepotId: scenario.depotId,
    notes: 'none',
  });
  const shortJob = () => {
    const { vehicleId: on, performedAt, odometer, lines, readings } = job() as any;
    return {
      id: uuidv7(),
      vehicleId: on,
      performedAt,
      odometer,
      lines: [lines[1]],
      readings: [readings[1]],
    };
  };
  const targetBody = () => ({
    ...TARGET,
    hears: ['due-line'],
    stages: ['due', 'late'],
    depotIds: [scenario.depotId],
    components: ['coolant'],
    duties: ['severe'],
    intervalPlanIds: [scenario.intervalPlanId],
    vehicleIds: [scenario.vehicleId],
    repeatLateDays: 7,
    digest: 'daily',
    sendBetween: { from: '06:00', to: '20:00' },
    enabled: false,
  });
  const source = () => ({
    ...{ name: fresh('Source'), kind: 'iso-15143-3', address: 'https://telematics.example.org/Fleet/1' },
    ...{ everyMinutes: 30, withFaults: true, paused: true },
    signIn: {
      ...{ kind: 'oauth2', userName: 'yard', secret: 'unsaid', scope: 'fleet' },
      tokenAddress: 'https://telematics.example.org/token',
    },
  });
  const kinds: Record<string, object> = {
    ...Object.fromEntries(usual.map((reading) => [reading.kind, reading])),
    'coolant-condition': {
      ...{
        kind: 'coolant-condition',
        pH: 9,
        nitriteMgPerL: 800,
        scaUnitsPerGallon: 2,
        reserveAlkalinityMl: 5,
      },
      appearance: 'clear',
    },
    'cap-test': {
      ...{ kind: 'cap-test', opensAt: { value: 16, unit: 'psi' }, holdsAt: { value: 15, unit: 'psi' } },
      vacuumValveOk: true,
    },
    'combustion-gas-test': {
      kind: 'combustion-gas-test',
      positive: false,
      engineHot: true,
      underLoad: true,
    },
    'belt-tension': {
      ...{ kind: 'belt-tension', newBelt: false, frequencyHz: 120, span: { value: 300, unit: 'mm' } },
      ...{ deflection: { value: 5, unit: 'mm' }, force: { value: 60, unit: 'N' } },
    },
    'tensioner-check': {
      ...{ kind: 'tensioner-check', mark: 'in-range', armMovesFreely: true, pulleyRunsTrue: true },
      armSwing: { value: 2, unit: 'mm' },
    },
    conductivity: {
      ...{ kind: 'conductivity', conductivityUsPerCm: 40, compensatedTo25C: true },
      sampleTemperature: { value: 25, unit: 'C' },
    },
    'road-test': {
      ...{ kind: 'road-test', distance: { value: 8, unit: 'mi' }, warningLamp: false, leakSeen: false },
      highestCoolantTemperature: { value: 92, unit: 'C' },
    },
    'belt-check': {
      ...usualOf('belt-check'),
      pulleys: [{ name: 'crank', ribsSeated: true }],
      driverDiameter: { value: 150, unit: 'mm' },
      drivenDiameter: { value: 100, unit: 'mm' },
      driverRpm: 1000,
      drivenRpm: 1455,
      tensionerInRange: true,
      contaminated: false,
    },
    'hold-test': {
      ...usualOf('hold-test'),
      startTemperature: { value: 20, unit: 'C' },
      endTemperature: { value: 20, unit: 'C' },
      engineCold: true,
      barometer: { value: 84.5, unit: 'kPa' },
    },
  };
  const usage = () => ({
    readings: [
      {
        vehicleId: nextVehicle(),
        unitNumber: 'R-114',
        readAt: '2026-04-01T10:00:00-06:00',
        odometer: { value: 20_000 + ++turn, unit: 'mi' },
        engineHours: { value: 700, unit: 'h' },
        odometerReplaced: false,
        engineHoursReplaced: false,
        source: 'dash',
      },
    ],
  });
  const defect = () => ({
    ...{ id: uuidv7(), vehicleId: scenario.vehicleId, unitNumber: 'R-114', source: 'driver' },
    ...{ reportedAt: '2026-04-01T10:00:00-06:00', reportedBy: 'Ada Pike', what: 'Coolant on the ground' },
    ...{ component: 'water-pump', action: 'replace', item: 'main' },
    ...{ odometer: { value: 20_000, unit: 'mi' }, engineHours: { value: 700, unit: 'h' } },
  });
  const faults = () => ({
    faults: [
      {
        ...{ vehicleId: nextVehicle(), unitNumber: 'R-114', code: `SPN ${1000 + ++turn} FMI 3` },
        ...{ seenAt: '2026-04-01T10:00:00-06:00', active: true, occurrences: 3 },
      },
    ],
  });
  const temperatures = () => ({
    samples: [
      {
        ...{ vehicleId: nextVehicle(), unitNumber: 'R-114', readAt: '2026-04-01T10:00:00-06:00' },
        temperature: { value: 90, unit: 'C' },
      },
    ],
  });
  return {
    ...{
      fresh,
      nextVehicle,
      visitPlan,
      depot,
      person,
      sheet,
      plan,
      vehicle,
      job,
      shortJob,
      targetBody,
      source,
      kinds,
      usage,
      defect,
      faults,
      temperatures,
    },
  };
}
