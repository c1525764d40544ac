import { v7 as uuidv7 } from 'uuid';
import { mailText } from '../src/telling/reminders/senders/mail-text.js';
import type { Api } from './api.js';
import { pressureTestOf } from './jobs.js';

interface Finding {
  readingId: string;
  jobReportId: string;
  dueLineIds: string[];
}

/** What is shown of a message. */
interface Told {
  text: string;
}

interface ReleasedVehicle {
  id: string;
  unitNumber: string;
  depotId: string | null;
  specSheetId: string;
  releasedWithFindings: { message: Told; findings: Finding[] };
}

interface Report {
  warning: Told;
  performedAt: string;
  readings: ({ id: string; evaluation: { reasons: Told[]; cautions: Told[] } } & Record<string, unknown>)[];
}

interface Card {
  lastReadings: { kind: string; verdict: string | null; isOpen: boolean; reasons: Told[] }[];
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
  vehicle: string;
  card: string;
  mailSubject: string;
  closing: object;
}

const texts = (said: readonly Told[]): string => said.map(({ text }) => text).join(' ');

/** As the service reports it; null once it is closed. */
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
    items: { id: string; component: string; action: string; state: string; dueOn: string; causes: Told[] }[];
  }>(`/v1/due-list?vehicleId=${vehicle.id}`);
  const line = lines.find(({ id }) => finding.dueLineIds.includes(id));
  const { lastReadings } = await api.get<Card>(`/v1/vehicles/${vehicle.id}/job-card`);
  const onCard = lastReadings.find(({ isOpen, verdict }) => isOpen && verdict === 'fail');
  const { warning, performedAt } = report;
  const { id, unitNumber, depotId } = vehicle;
  const data = { warning, vehicle: { id, unitNumber, depotId }, ...reading };
  return {
    ...{ unitNumber, performedAt, warning: warning.text },
    dueLine: line
      ? `${line.component} ${line.action}, ${line.state} since ${line.dueOn}: ${texts(line.causes)}`
      : '',
    vehicle: vehicle.releasedWithFindings.message.text,
    card: onCard ? `${onCard.verdict}: ${texts(onCard.reasons)}` : '',
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
