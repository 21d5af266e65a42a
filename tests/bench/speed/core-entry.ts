/** What `shipped-core.ts` bundles. */
export { readTrace } from '../../../worker/core/read-trace.ts';
export { openTraceStream } from '../../../worker/core/trace-stream.ts';
