/** Reckons one forecast in a thread of its own and ends: a second of reckoning must hold nobody's push up. */
import { parentPort, workerData } from 'node:worker_threads';
import { type ForecastWork, reckon } from './forecast-work.ts';

parentPort?.postMessage(reckon(workerData as ForecastWork));
