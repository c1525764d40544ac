import { mutationsOf } from '../../support/mutations.js';
import { ACTING, CHANGING } from '../../support/hostile/endpoints.js';
import { startTrial, type Trial } from '../../support/hostile/trial.js';
import { inText } from '../../support/told.js';

describe('a request to change a record', () => {
  let trial: Trial;

  beforeAll(async () => {
    trial = await startTrial();
  });
  afterAll(() => trial?.service.stop());

  // Each action is done to a record of its own, on which nothing has been done before.
  it.each([...CHANGING, ...ACTING])('%s accepts a good body', async (operation) => {
    const endpoint = trial.endpointOf(operation);
    const { status, body } = await trial.send(endpoint, JSON.stringify(endpoint.body()));
    // A trial run lists what it would refuse; of a good body, nothing.
    expect([status, inText(body.errors ?? [])]).toEqual([endpoint.status, []]);
  });

  it.each(CHANGING)('%s names the wrong field', async (operation) => {
    const endpoint = trial.endpointOf(operation);
    const { complaints } = await trial.tryAll(endpoint, mutationsOf(endpoint.body()));
    expect(complaints).toEqual([]);
  });

  it.each(ACTING)('%s names the wrong field, already done or not', async (operation) => {
    const endpoint = trial.endpointOf(operation);
    const { complaints, named } = await trial.tryAll(endpoint, mutationsOf(endpoint.body()));
    expect(complaints).toEqual([]);
    // That it is done already is no answer to each of them.
    const fields = Object.keys(endpoint.body()).map((field) => `/${field}`);
    expect(fields.filter((field) => !named.has(field))).toEqual([]);
  });

  it('leaves no invalid number in the tables, and no trace in another fleet', async () => {
    expect(await trial.traces()).toEqual([]);
  });
});
