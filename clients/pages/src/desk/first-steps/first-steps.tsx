import { useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { Link } from 'wouter-preact';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { type Me, useMe } from '../../kit/service/me.js';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { Upload } from '../files/upload.js';
import { DepotForm } from '../settings/depot-form.js';
import { message as settingsMessage } from '../settings/messages.js';
import { ReadyMade } from '../settings/ready-made.js';
import { Targets } from '../settings/targets.js';
import { Assign } from './assign.js';
import { message } from './messages.js';
import { noteSteps, type Step, type Steps } from './open-steps.js';
import { StarterSets } from './starter-sets.js';
import '../settings/settings.css';
import '../files/files.css';
import './first-steps.css';

interface Around {
  me: Me;
  steps: Steps;
  /** How often something was done, for what is loaded anew then. */
  turn: number;
  onDone: () => void;
}

const isDone = ({ items }: Steps, which: Step['step']): boolean =>
  items.find(({ step }) => step === which)?.done ?? false;

/** Says how many vehicles lack a sheet or a plan, and gives them one. */
function Lacking({
  step: { vehiclesLacking },
  what,
  around,
}: {
  step: Step;
  what: 'sheet' | 'plan';
  around: Around;
}) {
  const { steps, turn, onDone } = around;
  if (!isDone(steps, 'vehicles')) return <p>{tell(message('desk-step-no-vehicles'))}</p>;
  const { count, orMore } = vehiclesLacking ?? { count: 0, orMore: false };
  return (
    <>
      <p>{tell(message('desk-step-lacking', { count, orMore: orMore ? 'yes' : 'no' }))}</p>
      <Assign {...{ what, turn, onDone }} />
    </>
  );
}

/** What does a step, on the page itself. */
function Doing({ step, around }: { step: Step; around: Around }): ComponentChildren {
  const { me, onDone } = around;
  switch (step.step) {
    case 'depot':
      return (
        <>
          <p>{tell(message('desk-step-depots-from-file'))}</p>
          <DepotForm
            given={null}
            units={me.units}
            way={tell(settingsMessage('desk-depot-add-now'))}
            onGiven={async (body) => {
              await service().post('/v1/depots', { body });
              onDone();
            }}
          />
        </>
      );
    case 'vehicles':
    case 'usage':
      return (
        <>
          <Upload kind={step.step === 'usage' ? 'usage-readings' : 'vehicles'} />
          {step.step === 'vehicles' && <Link href="/vehicles">{tell(message('desk-step-one-vehicle'))}</Link>}
        </>
      );
    case 'sheets':
      return (
        <>
          <StarterSets onTaken={onDone} />
          <Lacking {...{ step, around }} what="sheet" />
        </>
      );
    case 'plans':
      return <Lacking {...{ step, around }} what="plan" />;
    case 'target':
      return <Targets onChanged={onDone} />;
    case 'target-test':
      return isDone(around.steps, 'target') ? <Targets onChanged={onDone} /> : null;
    case 'second-person':
      return <Link href="/people">{tell(message('desk-step-people'))}</Link>;
    case 'ready-made':
      return <ReadyMade timeZone={me.timeZone} isAll={false} onChanged={onDone} />;
  }
}

function OneStep({ step, around }: { step: Step; around: Around }) {
  return (
    <li class={step.done ? 'step done' : 'step'}>
      <h2>
        {tell(message(`desk-step-${step.step}`))}{' '}
        <span class="is">{tell(message(step.done ? 'desk-steps-done' : 'desk-steps-open'))}</span>
      </h2>
      <p>{step.why.text}</p>
      {!step.done && <Doing {...{ step, around }} />}
    </li>
  );
}

/** What a new fleet still lacks, in order. Each step is done here. */
export function FirstSteps() {
  const me = useMe();
  const turn = useSignal(0);
  const { state, reload } = useLoaded(
    async (client, signal) => noteSteps((await client.get('/v1/first-steps', { signal })).data),
    [],
  );
  const onDone = (): void => {
    turn.value++;
    reload();
  };
  return (
    <div class="steps-view">
      <Heading>{tell(message('desk-steps'))}</Heading>
      <Shown state={state} again={reload}>
        {(steps) => (
          <>
            <p>{tell(message(steps.done ? 'desk-steps-all-done' : 'desk-steps-about'))}</p>
            <Shown state={me.state} again={me.reload}>
              {(who) => (
                <ol>
                  {steps.items.map((step) => (
                    <OneStep
                      key={step.step}
                      step={step}
                      around={{ me: who, steps, turn: turn.value, onDone }}
                    />
                  ))}
                </ol>
              )}
            </Shown>
          </>
        )}
      </Shown>
    </div>
  );
}
