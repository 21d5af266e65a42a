/** What `shipped-core.ts` bundles. */
export { readTrace } from '../../../worker/core/measure/read-trace.ts';
export { openTraceStream } from '../../../worker/core/measure/trace-stream.ts';
