import { useSignal } from '@preact/signals';
import type { components } from '../../../../typescript/src/client.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { Fault } from '../../kit/parts/fault.js';
import { Shown } from '../../kit/parts/loading.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { service } from '../../kit/service/session.js';
import { dayOfInstant, momentInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';
import { NewToken } from './new-token.js';
import { roleInWords } from './roles.js';

type Token = components['schemas']['TokenView'];

const MOST = 200;

function Row({ token, timeZone, onRevoke }: { token: Token; timeZone: string; onRevoke: () => void }) {
  const { name, role, createdAt, lastUsedAt, expiresAt } = token;
  const never = tell(message('desk-token-never'));
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>{roleInWords(role)}</td>
      <td>{dayOfInstant(createdAt, timeZone)}</td>
      <td>{lastUsedAt === null ? never : momentInWords(lastUsedAt, timeZone)}</td>
      <td>{expiresAt ? momentInWords(expiresAt, timeZone) : tell(message('desk-token-expires-never'))}</td>
      <td>
        <button
          type="button"
          class="plain"
          aria-label={tell(message('desk-token-revoke-of', { name }))}
          onClick={onRevoke}
        >
          {tell(message('desk-token-revoke'))}
        </button>
      </td>
    </tr>
  );
}

const COLUMNS = [
  ...['desk-token-name', 'desk-token-role', 'desk-token-made', 'desk-token-used', 'desk-token-expires'],
] as const;

function Table({
  tokens,
  timeZone,
  onRevoke,
}: {
  tokens: readonly Token[];
  timeZone: string;
  onRevoke: (token: Token) => void;
}) {
  if (tokens.length === 0) return <p>{tell(message('desk-tokens-none'))}</p>;
  return (
    <table>
      <thead>
        <tr>
          {COLUMNS.map((column) => (
            <th key={column} scope="col">
              {tell(message(column))}
            </th>
          ))}
          <td />
        </tr>
      </thead>
      <tbody>
        {tokens.map((token) => (
          <Row key={token.id} {...{ token, timeZone }} onRevoke={() => onRevoke(token)} />
        ))}
      </tbody>
    </table>
  );
}

/** Asks before a token is revoked, and says what follows. */
function Revoke({ token, onClose }: { token: Token; onClose: (isRevoked: boolean) => void }) {
  const problem = useSignal<unknown>(null);
  const revoke = async (): Promise<void> => {
    try {
      await service().delete('/v1/tokens/{id}', { path: { id: token.id } });
      onClose(true);
    } catch (refused) {
      problem.value = refused;
    }
  };
  const { name } = token;
  return (
    <Dialog title={tell(message('desk-token-revoke-ask', { name }))} onClose={() => onClose(false)}>
      <p>{tell(message('desk-token-revoke-what'))}</p>
      {problem.value !== null && <Fault problem={problem.value} />}
      <button type="button" onClick={() => void revoke()}>
        {tell(message('desk-token-revoke-now'))}
      </button>
    </Dialog>
  );
}

/** The tokens of programs, and of people who use the API. */
export function Tokens({ timeZone }: { timeZone: string }) {
  const revoking = useSignal<Token | null>(null);
  const isMaking = useSignal(false);
  const { state, reload } = useLoaded(
    async (client, signal) =>
      (await client.get('/v1/tokens', { query: { limit: String(MOST) }, signal })).data.items,
    [],
  );
  return (
    <section aria-labelledby="tokens">
      <h2 id="tokens">{tell(message('desk-tokens'))}</h2>
      <p>{tell(message('desk-tokens-about'))}</p>
      <button type="button" onClick={() => (isMaking.value = true)}>
        {tell(message('desk-token-make'))}
      </button>
      <Shown state={state} again={reload}>
        {(tokens) => <Table {...{ tokens, timeZone }} onRevoke={(token) => (revoking.value = token)} />}
      </Shown>
      {isMaking.value && (
        <NewToken
          onClose={() => {
            isMaking.value = false;
            reload();
          }}
        />
      )}
      {revoking.value !== null && (
        <Revoke
          token={revoking.value}
          onClose={(isRevoked) => {
            revoking.value = null;
            if (isRevoked) reload();
          }}
        />
      )}
    </section>
  );
}
