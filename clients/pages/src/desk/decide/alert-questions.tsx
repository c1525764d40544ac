import { useSignal } from '@preact/signals';
import { service } from '../../kit/service/session.js';
import { beginningOfDay, dayInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { Ask, Given } from './ask.js';
import { message } from './messages.js';

export const ALERT_ACTIONS = ['acknowledge', 'shelve', 'clear'] as const;
export type AlertAction = (typeof ALERT_ACTIONS)[number];

export interface AboutAlert {
  id: string;
  /** Whose alert it is, and of which kind. */
  what: string;
  /** By which the days are those of the fleet. */
  timeZone: string;
  /** @param said what was done; null: nothing */
  onClose: (said: string | null) => void;
}

function Acknowledge({ id, what, onClose }: AboutAlert) {
  const note = useSignal('');
  return (
    <Ask
      title={tell(message('desk-do-acknowledge-ask', { what }))}
      says={[tell(message('desk-do-acknowledge-what'))]}
      way={tell(message('desk-do-acknowledge'))}
      fields={['/note']}
      send={async () => {
        const body = note.value === '' ? {} : { note: note.value };
        await service().post('/v1/loss-alerts/{id}/acknowledge', { path: { id }, body });
      }}
      onClose={(isDone) => onClose(isDone ? tell(message('desk-do-acknowledged', { what })) : null)}
    >
      {(problem) => (
        <Given label={tell(message('desk-do-note'))} value={note} problem={problem} pointer="/note" />
      )}
    </Ask>
  );
}

function Shelve({ id, what, timeZone, onClose }: AboutAlert) {
  const until = useSignal('');
  const note = useSignal('');
  const on = until.value === '' ? null : dayInWords(until.value);
  const says = [
    tell(message('desk-do-shelve-what')),
    ...(on === null ? [] : [tell(message('desk-do-comes-back', { on }))]),
  ];
  return (
    <Ask
      title={tell(message('desk-do-shelve-ask', { what }))}
      says={says}
      way={tell(message('desk-do-shelve'))}
      fields={['/until', '/note']}
      send={async () => {
        const body = {
          until: until.value === '' ? '' : beginningOfDay(until.value, timeZone).toISOString(),
          note: note.value,
        };
        await service().post('/v1/loss-alerts/{id}/shelve', { path: { id }, body });
      }}
      onClose={(isDone) =>
        onClose(isDone ? tell(message('desk-do-shelved', { what, on: dayInWords(until.value) })) : null)
      }
    >
      {(problem) => (
        <>
          <Given
            label={tell(message('desk-do-shelve-until'))}
            {...{ value: until, problem, pointer: '/until', type: 'date' }}
          />
          <Given label={tell(message('desk-do-reason'))} {...{ value: note, problem, pointer: '/note' }} />
        </>
      )}
    </Ask>
  );
}

function Clear({ id, what, onClose }: AboutAlert) {
  const note = useSignal('');
  return (
    <Ask
      title={tell(message('desk-do-clear-ask', { what }))}
      says={[tell(message('desk-do-clear-what'))]}
      way={tell(message('desk-do-clear'))}
      fields={['/note']}
      send={async () => {
        await service().post('/v1/loss-alerts/{id}/clear', { path: { id }, body: { note: note.value } });
      }}
      onClose={(isDone) => onClose(isDone ? tell(message('desk-do-cleared', { what })) : null)}
    >
      {(problem) => (
        <Given label={tell(message('desk-do-clear-why'))} {...{ value: note, problem, pointer: '/note' }} />
      )}
    </Ask>
  );
}

const QUESTIONS = { acknowledge: Acknowledge, shelve: Shelve, clear: Clear } as const;

/** Asks what is needed to acknowledge, shelve or clear a loss alert, and does it. */
export function ActOnAlert({ action, ...about }: AboutAlert & { action: AlertAction }) {
  const Question = QUESTIONS[action];
  return <Question {...about} />;
}
