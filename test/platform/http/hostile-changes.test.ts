import { mutationsOf } from '../../support/mutations.js';
import { ACTING, CHANGING } from '../../support/hostile/endpoints.js';
import { startTrial, type Trial } from '../../support/hostile/trial.js';

describe('what a client sends to change a record', () => {
  let trial: Trial;

  beforeAll(async () => {
    trial = await startTrial();
  });
  afterAll(() => trial?.service.stop());

  // Each action gets a record of its own, on which it has not been done before.
  it.each([...CHANGING, ...ACTING])('%s accepts a valid body', async (operation) => {
    const endpoint = trial.endpointOf(operation);
    const { status, body } = await trial.send(endpoint, JSON.stringify(endpoint.body()));
    expect([status, body.errors]).toEqual([endpoint.status, undefined]);
  });

  it.each(CHANGING)('%s names the field that is wrong', async (operation) => {
    const endpoint = trial.endpointOf(operation);
    const { complaints } = await trial.tryAll(endpoint, mutationsOf(endpoint.body()));
    expect(complaints).toEqual([]);
  });

  it.each(ACTING)(
    '%s names the field that is wrong, whether or not it was already done',
    async (operation) => {
      const endpoint = trial.endpointOf(operation);
      const { complaints, named } = await trial.tryAll(endpoint, mutationsOf(endpoint.body()));
      expect(complaints).toEqual([]);
      // The response to a fault must not be that the action was already done.
      const fields = Object.keys(endpoint.body()).map((field) => `/${field}`);
      expect(fields.filter((field) => !named.has(field))).toEqual([]);
    },
  );

  it('leaves no NaN or infinity in the tables, and no trace in another fleet', async () => {
    expect(await trial.traces()).toEqual([]);
  });
});
