import { v7 as uuidv7 } from 'uuid';
import { mailText } from '../src/telling/reminders/senders/mail-text.js';
import type { Api } from './api.js';
import { pressureTestOf } from './jobs.js';

interface Finding {
  readingId: string;
  jobReportId: string;
  dueLineIds: string[];
}

interface ReleasedVehicle {
  id: string;
  unitNumber: string;
  depotId: string | null;
  specSheetId: string;
  releasedWithFindings: { text: string; findings: Finding[] };
}

interface Said {
  text: string;
}

interface Report {
  warning: string;
  performedAt: string;
  readings: ({ id: string; evaluation: { reasons: Said[]; cautions: Said[] } } & Record<string, unknown>)[];
}

interface Card {
  lastReadings: { kind: string; verdict: string | null; isOpen: boolean; reasons: Said[] }[];
}

/**
 * The demonstration's story of a failed pressure test: what each reader sees, and the report that
 * closes it.
 */
export interface FridayStory {
  unitNumber: string;
  performedAt: string;
  warning: string;
  dueLine: string;
  board: string;
  card: string;
  mailSubject: string;
  closing: object;
}

/** Reads the story from the service; null once it is closed. */
export async function fridayStory(api: Api, now: Date): Promise<FridayStory | null> {
  const { items: vehicles } = await api.get<{ items: ReleasedVehicle[] }>(
    '/v1/vehicles?released=with-findings&limit=1',
  );
  const [vehicle] = vehicles;
  const [finding] = vehicle?.releasedWithFindings.findings ?? [];
  if (!vehicle || !finding) return null;
  const report = await api.get<Report>(`/v1/job-reports/${finding.jobReportId}`);
  const reading = report.readings.find(({ id }) => id === finding.readingId);
  if (!reading) return null;
  const { items: lines } = await api.get<{
    items: { id: string; component: string; action: string; state: string; dueOn: string; cause: string }[];
  }>(`/v1/due-list?vehicleId=${vehicle.id}`);
  const line = lines.find(({ id }) => finding.dueLineIds.includes(id));
  const { lastReadings } = await api.get<Card>(`/v1/vehicles/${vehicle.id}/job-card`);
  const onCard = lastReadings.find(({ isOpen, verdict }) => isOpen && verdict === 'fail');
  const { warning, performedAt } = report;
  const { id, unitNumber, depotId } = vehicle;
  const data = { warning, vehicle: { id, unitNumber, depotId }, ...reading };
  return {
    ...{ unitNumber, performedAt, warning },
    dueLine: line ? `${line.component} ${line.action}, ${line.state} since ${line.dueOn}: ${line.cause}` : '',
    board: vehicle.releasedWithFindings.text,
    card: onCard ? `${onCard.verdict}: ${onCard.reasons.map(({ text }) => text).join(' ')}` : '',
    mailSubject: mailText({ type: 'failed-reading', timestamp: now.toISOString(), language: 'en', data })
      .subject,
    closing: await closingReport(api, vehicle, now),
  };
}

/** A new hose, and a repeated pressure test that passes. */
async function closingReport(api: Api, { id, specSheetId }: ReleasedVehicle, now: Date): Promise<object> {
  const { coolant } = await api.get<{ coolant: { capRating: { value: number; unit: string } } }>(
    `/v1/spec-sheets/${specSheetId}?units=us`,
  );
  const { value } = coolant.capRating;
  return {
    ...{ id: uuidv7(), vehicleId: id, performedAt: now.toISOString(), performedBy: 'badge 7' },
    lines: [{ component: 'upper-hose', action: 'replace' }],
    readings: [pressureTestOf(value, value)],
    releasedForService: 'yes',
  };
}
