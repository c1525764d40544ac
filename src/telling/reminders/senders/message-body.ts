/** A message as it is sent, to whatever kind of target. */
export interface MessageBody {
  type: string;
  timestamp: string;
  data: unknown;
}
