/** Entry point of the bundle made by `shipped-core.ts`. */

export { openLiveView } from '../../../worker/core/measure/live-view.ts';
export { readTrace } from '../../../worker/core/measure/read-trace.ts';
