import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { dueLineView } from '../../conclusions/due-list/due-line-view.js';
import { lossAlertRows } from '../../conclusions/loss-alerts/loss-alerts.queries.js';
import { lossAlertView } from '../../conclusions/loss-alerts/loss-alert-view.js';
import type { UnitReader } from '../../platform/words/render.js';
import { present } from '../../platform/presenting/present.js';
import { linesById, type ToldRow } from './due-list-events.queries.js';
import { eventText, type Subject } from './event-reader.js';

/**
 * An event as it is told: what it is about, and its text in a reader's units, made once for all of
 * them.
 */
export interface TextOfEvent {
  row: ToldRow;
  subject: Subject;
  text: (reader: UnitReader) => string;
}

/**
 * Puts events into words for those who read them: each subject as it stands now, two statements for
 * however many there are.
 */
@Injectable()
export class EventTexts {
  async of(
    manager: EntityManager,
    { fleetId, timeZone }: { fleetId: string; timeZone: string },
    told: ToldRow[],
    now: Date,
  ): Promise<TextOfEvent[]> {
    const idsOf = (kind: ToldRow['kind']): string[] => [
      ...new Set(told.filter((row) => row.kind === kind).map(({ subjectId }) => subjectId)),
    ];
    const lines = await linesById(manager, fleetId, idsOf('due-line'));
    const alertIds = idsOf('loss-alert');
    const alerts =
      alertIds.length === 0
        ? []
        : await lossAlertRows(
            manager,
            fleetId,
            now,
            { ids: alertIds, fallenToo: true },
            null,
            alertIds.length,
          );
    const subjects = new Map<string, Subject>();
    for (const [id, { isOpen, ...row }] of lines)
      subjects.set(id, { kind: 'due-line', isOpen, line: dueLineView(row, now, timeZone) });
    for (const row of alerts) subjects.set(row.id, { kind: 'loss-alert', alert: lossAlertView(row) });
    const asOf = civilDateAt(now.getTime(), timeZone);
    const at = Math.floor(now.getTime() / 1000);
    return told.flatMap((row): TextOfEvent[] => {
      const subject = subjects.get(row.subjectId);
      if (!subject) return [];
      const { kind, ...data } = subject;
      const made = new Map<string, string>();
      const text = (reader: UnitReader): string => {
        const key = `${reader.language} ${reader.units}`;
        const shown = kind === 'due-line' ? { asOf, ...data } : data;
        const known =
          made.get(key) ?? eventText(kind, JSON.stringify(present(shown, reader)), { ...row, at });
        made.set(key, known);
        return known;
      };
      return [{ row, subject, text }];
    });
  }
}
