import { useSignal } from '@preact/signals';
import { Link, useLocation } from 'wouter-preact';
import { Shown } from '../../../kit/parts/loading.js';
import { Heading } from '../../../kit/parts/shell.js';
import { useLoaded } from '../../../kit/service/loaded.js';
import { service } from '../../../kit/service/session.js';
import { reader, readIn, tell } from '../../../kit/texts/tell.js';
import { message } from '../words/messages.js';
import { type AllChoices, loadChoices } from './choices.js';
import { changesOf, type Draft, EMPTY } from './draft.js';
import { FaultOfForm } from './fault-of-form.js';
import { VehicleFields } from './fields.js';

function Form({ choices }: { choices: AllChoices }) {
  const draft = useSignal<Draft>(EMPTY);
  const problem = useSignal<unknown>(null);
  const isBusy = useSignal(false);
  const [, go] = useLocation();
  const { units } = reader.value;
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    isBusy.value = true;
    try {
      const given = { ...changesOf(EMPTY, draft.value, units), unitNumber: draft.value.unitNumber };
      const { data } = await service().post('/v1/vehicles', { body: given });
      go(`/vehicles/${data.id}`);
    } catch (fault) {
      problem.value = fault;
    }
    isBusy.value = false;
  };
  return (
    <form onSubmit={(event) => void submit(event)} noValidate>
      <VehicleFields
        form={{
          ...{ draft: draft.value, problem: problem.value, choices, units },
          type: (field, value) => (draft.value = { ...draft.value, [field]: value }),
        }}
      />
      <FaultOfForm problem={problem.value} />
      <button type="submit" disabled={isBusy.value}>
        {tell(message('desk-vehicle-add'))}
      </button>
    </form>
  );
}

/** Adds a vehicle, and goes to its page. */
export function NewVehicle() {
  const { state, reload } = useLoaded(async (client, signal) => {
    const [me, choices] = await Promise.all([client.get('/v1/me', { signal }), loadChoices(client, signal)]);
    readIn(me.data.units);
    return choices;
  }, []);
  return (
    <div class="vehicle-view">
      <p>
        <Link href="/vehicles">{tell(message('desk-vehicles-to-all'))}</Link>
      </p>
      <Heading>{tell(message('desk-vehicle-add'))}</Heading>
      <Shown state={state} again={reload}>
        {(choices) => <Form choices={choices} />}
      </Shown>
    </div>
  );
}
