import type { WorkLine } from '../../src/domain/intervals/types.js';
import { type CardSheet, jobCard } from '../../src/domain/job-card/job-card.js';
import type { UnitSystem } from '../../src/domain/quantities/measures.js';
import type { JobCardView } from '../../src/pages/job-cards/card/job-card.dto.js';
import { readLines } from '../../src/pages/job-cards/job-card-lines.js';
import { present } from '../../src/platform/presenting/present.js';
import type { Language } from '../../src/platform/words/languages.js';

/** The content of a card. Omitted fields are empty or unknown. */
export interface Drawing {
  lines: string;
  sheet?: Partial<CardSheet> | null;
  units?: UnitSystem;
  language?: Language;
  elevationM?: number | null;
  losesCoolant?: boolean;
  vehicle?: Partial<JobCardView['vehicle']>;
  sheetName?: string;
  dueAnyway?: { unitNumber: string; component: string; action: string; item: string | null }[];
  lossAlerts?: JobCardView['lossAlerts'];
  releasedWithFindings?: JobCardView['releasedWithFindings'];
  lastReadings?: JobCardView['lastReadings'];
  heldReadings?: JobCardView['heldReadings'];
  faults?: JobCardView['faults'];
  defects?: JobCardView['defects'];
}

const SHEET: CardSheet = {
  coolant: {
    base: 'ethylene-glycol',
    technology: 'OAT',
    capacityL: 14,
    drainableL: 9.5,
    targetStrengthPercent: 50,
  },
  capRatingKpa: 110.3,
  holdTest: {
    procedureMethod: 'vacuum',
    targetKpa: 77.9,
    allowedLossKpa: 3.39,
    allowedMinutes: 5,
    capRatingKpa: 110.3,
  },
  fasteners: [],
  belts: [],
  parts: [],
};

/**
 * Builds a card as the page receives it, without a service or a database, to try the page with more
 * than any one fleet has.
 */
export function drawCard(drawing: Drawing): JobCardView {
  const { units = 'us', language = 'en', sheet = {}, elevationM = 1500, losesCoolant = false } = drawing;
  const lines: WorkLine[] = readLines(drawing.lines);
  const content = jobCard({
    lines,
    sheet: sheet === null ? null : { ...SHEET, ...sheet },
    strengthPercent: null,
    losesCoolant,
    elevationM,
    units,
  });
  const { releasedWithFindings = null, lastReadings = [], heldReadings = [] } = drawing;
  const { faults = [], defects = [] } = drawing;
  const card = {
    ...{ releasedWithFindings, lastReadings, heldReadings, faults, defects },
    coolantTemperatures: { hotDays: [], finding: null },
    asOf: '2026-04-02',
    vehicle: {
      id: 'this',
      unitNumber: 'R-114',
      make: null,
      model: null,
      modelYear: null,
      vin: null,
      serialNumber: null,
      duty: 'normal',
      status: 'in-use',
      mountedOn: null,
      carries: [],
      depot: { id: 'depot', name: 'Ridge', elevation: { measure: 'elevation', value: 1500 } },
      estimatedOdometer: { measure: 'distance', value: 100_378 },
      estimatedEngineHours: { measure: 'engine-hours', value: 2141 },
      lastReadAt: '2026-03-29T14:00:00Z',
      stale: false,
      ...drawing.vehicle,
    },
    specSheet:
      sheet === null
        ? null
        : { id: 'sheet', name: drawing.sheetName ?? 'Highland 4.6 petrol', circuitNote: 'engine' },
    lines: lines.map((line) => ({ ...line, settles: [] })),
    ...content,
    otherCircuits: [],
    dueAnyway: (drawing.dueAnyway ?? []).map(({ unitNumber, ...due }) => ({
      ...due,
      vehicle: { id: unitNumber === 'R-114' ? 'this' : unitNumber, unitNumber, depotId: null },
      state: 'window',
      dueOn: '2026-04-22',
    })),
    visits: [],
    lossAlerts: drawing.lossAlerts ?? [],
    lastFreezePoint: null,
  };
  return present(card, { language, units }) as JobCardView;
}
