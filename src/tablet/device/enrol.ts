/** Presents a set-up code to the server. The only request that is made without a key. */
import { type EnrolAnswer, enrolAnswerSchema } from '../../wire/enrol.ts';
import { refusalSchema } from '../../wire/refusal.ts';

const ENROL_MS_MAX = 15_000;

export type EnrolReply =
  | { readonly is: 'enrolled'; readonly answer: EnrolAnswer }
  | { readonly is: 'unknown-code' | 'used-code' | 'no-server' | 'too-many-tries' };

/** @param persisted what the browser said to lasting storage; null where it does not say */
export async function askToEnrol(token: string, persisted: boolean | null): Promise<EnrolReply> {
  try {
    const response = await fetch('/api/enrol', {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ token, persisted }),
      credentials: 'omit',
      cache: 'no-store',
      signal: AbortSignal.timeout(ENROL_MS_MAX),
    });
    const body: unknown = await response.json();
    if (response.ok) return { is: 'enrolled', answer: enrolAnswerSchema.parse(body) };
    return { is: refusedAs(refusalSchema.parse(body).refused) };
  } catch {
    // No network, no server, or something that is not our server: for the person at the tablet all the same.
    return { is: 'no-server' };
  }
}

function refusedAs(refused: string): 'unknown-code' | 'used-code' | 'no-server' | 'too-many-tries' {
  switch (refused) {
    case 'code-used':
      return 'used-code';
    case 'too-many-tries':
      return 'too-many-tries';
    case 'code-unknown':
    case 'bad-request':
      return 'unknown-code';
    default:
      return 'no-server';
  }
}
