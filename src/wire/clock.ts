import * as z from 'zod/mini';
import { instantSchema } from '../domain/instant.ts';

/** The server's two stamps in every answer, T2 and T3 of RFC 5905. */
export const serverClockSchema = z.object({ receivedAt: instantSchema, answeredAt: instantSchema });
export type ServerClock = z.infer<typeof serverClockSchema>;
