import { useSignal } from '@preact/signals';
import {
  COMPONENTS,
  componentInWords,
  ACTIONS,
  actionInWords,
  type DueLine,
} from '../../kit/due/due-line.js';
import { service } from '../../kit/service/session.js';
import { locale, tell } from '../../kit/texts/tell.js';
import { Ask, Chosen, Given } from './ask.js';
import { message } from './messages.js';

export interface AboutDefect {
  id: string;
  unit: string;
  /** What was reported, in the words of whoever did. */
  what: string;
  /** Who decides, unless they type another name. */
  decidedBy: string;
  /** @param said what was done; null: nothing */
  onClose: (said: string | null) => void;
}

function choicesOf<T extends string>(values: readonly T[], inWords: (value: T) => string) {
  const choices = values.map((value) => ({ value, text: inWords(value) }));
  return choices.sort((a, b) => a.text.localeCompare(b.text, locale()));
}

const POINTERS = ['/decidedBy', '/component', '/action', '/dueOn', '/vehicleStays', '/note', '/reason'];

/** What is decided about a defect, and how it is sent. */
function useTriage(id: string, decidedBy: string) {
  const by = useSignal(decidedBy);
  const component = useSignal<string>('other');
  const action = useSignal<string>('inspect');
  const dueOn = useSignal('');
  // Nothing is known yet that says it may be driven.
  const stays = useSignal('yes');
  const send = async (): Promise<void> => {
    const body = {
      ...{ decidedBy: by.value, vehicleStays: stays.value === 'yes' },
      component: component.value as DueLine['component'],
      action: action.value as DueLine['action'],
      ...(dueOn.value !== '' && { dueOn: dueOn.value }),
    };
    await service().post('/v1/defects/{id}/triage', { path: { id }, body });
  };
  return { by, component, action, dueOn, stays, send };
}

/** Asks how a reported defect is to be repaired, and whether the vehicle stays until then. */
export function TakeUpDefect({ id, unit, what, decidedBy, onClose }: AboutDefect) {
  const { by, component, action, dueOn, stays, send } = useTriage(id, decidedBy);
  const drives = [
    { value: 'yes', text: tell(message('desk-do-stays')) },
    { value: 'no', text: tell(message('desk-do-not-held')) },
  ];
  return (
    <Ask
      title={tell(message('desk-do-triage-ask', { unit }))}
      says={[tell(message('desk-do-reported', { what })), tell(message('desk-do-triage-what'))]}
      way={tell(message('desk-do-triage'))}
      {...{ send, fields: POINTERS }}
      onClose={(isDone) => onClose(isDone ? tell(message('desk-do-triaged', { unit })) : null)}
    >
      {(problem) => (
        <>
          <Chosen
            label={tell(message('desk-do-vehicle-stays'))}
            {...{ choices: drives, value: stays, problem, pointer: '/vehicleStays' }}
          />
          <Chosen
            label={tell(message('desk-do-component'))}
            choices={choicesOf(COMPONENTS, componentInWords)}
            {...{ value: component, problem, pointer: '/component' }}
          />
          <Chosen
            label={tell(message('desk-do-action'))}
            choices={choicesOf(ACTIONS, actionInWords)}
            {...{ value: action, problem, pointer: '/action' }}
          />
          <Given
            label={tell(message('desk-do-due-on'))}
            {...{ value: dueOn, problem, pointer: '/dueOn', type: 'date' }}
          />
          <Given
            label={tell(message('desk-do-decided-by'))}
            {...{ value: by, problem, pointer: '/decidedBy' }}
          />
        </>
      )}
    </Ask>
  );
}

/** Asks who certifies that a reported defect needs no repair, and why. */
export function DismissDefect({ id, unit, what, decidedBy, onClose }: AboutDefect) {
  const by = useSignal(decidedBy);
  const reason = useSignal('');
  return (
    <Ask
      title={tell(message('desk-do-dismiss-ask', { unit }))}
      says={[tell(message('desk-do-reported', { what })), tell(message('desk-do-dismiss-what'))]}
      way={tell(message('desk-do-dismiss'))}
      fields={POINTERS}
      send={async () => {
        const body = { decidedBy: by.value, reason: reason.value };
        await service().post('/v1/defects/{id}/dismiss', { path: { id }, body });
      }}
      onClose={(isDone) => onClose(isDone ? tell(message('desk-do-dismissed', { unit })) : null)}
    >
      {(problem) => (
        <>
          <Given
            label={tell(message('desk-do-dismiss-why'))}
            {...{ value: reason, problem, pointer: '/reason' }}
          />
          <Given
            label={tell(message('desk-do-decided-by'))}
            {...{ value: by, problem, pointer: '/decidedBy' }}
          />
        </>
      )}
    </Ask>
  );
}
