// Work that must not overlap itself.
'use strict';

/// `work` as a function that begins only when its run before has ended, in whatever way: asked for several times meanwhile, it
/// runs once more and not once a time. What it returns ends with that run.
function in_turn(work) {
    let running = Promise.resolve();
    let next;
    return () => {
        next = next || running.then(() => {
            next = undefined;
            running = Promise.resolve().then(work).catch(() => {});
            return running;
        });
        return next;
    };
}

module.exports = { in_turn };
