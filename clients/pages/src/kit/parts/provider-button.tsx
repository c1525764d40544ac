import { message } from '../messages.js';
import { useLoaded } from '../service/loaded.js';
import { goToProvider } from '../service/provider.js';
import { tell } from '../texts/tell.js';
import { problemInWords } from './field.js';

/** Offers to sign in at the organisation's own provider, where there is one. */
export function ProviderButton() {
  const { state } = useLoaded(
    async (client, signal) => (await client.get('/v1/sign-in-ways', { signal })).data.provider,
    [],
  );
  const { value } = state;
  if (value.is === 'failed' && navigator.onLine)
    return (
      <p class="faint">
        {tell(message('page-provider-away'))} {problemInWords(value.problem)}
      </p>
    );
  const provider = value.value;
  if (provider === null) return null;
  return (
    <button type="button" onClick={() => void goToProvider(provider)}>
      {tell(message('page-sign-in-at-provider'))}
    </button>
  );
}
