//! What WebAssembly shows of the module, without a tool that would write it. The
//! worker asks for room, writes its request there, has it answered, and reads the
//! answer. Nothing here follows a pointer: the worker alone does, in memory that it
//! owns, and only until its next call.
//!
//! A panic ends the instance, since nothing can be trusted after it: the worker is
//! dropped and another begun. Its message is kept to be read before.

use std::cell::RefCell;
use std::panic::{PanicHookInfo, set_hook};

use super::module::Module;

#[derive(Default)]
struct Exchange {
    module: Module,
    request: Vec<u8>,
    answer: Vec<u8>,
}

thread_local! {
    static EXCHANGE: RefCell<Exchange> = RefCell::default();
    static PANIC: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

/// Room for a request of so many bytes.
// Unsafe only if two functions of the whole program had this name.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn coldring_room(length: usize) -> *mut u8 {
    set_hook(Box::new(keep_panic));
    EXCHANGE.with_borrow_mut(|exchange| {
        exchange.request = vec![0; length];
        exchange.request.as_mut_ptr()
    })
}

/// Answers the request; the length of the answer in bytes.
// As above.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn coldring_ask() -> usize {
    EXCHANGE.with_borrow_mut(|exchange| {
        let request = std::mem::take(&mut exchange.request);
        exchange.answer = exchange.module.answer(&request);
        exchange.answer.len()
    })
}

/// Where the answer is.
// As above.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn coldring_answer() -> *const u8 {
    EXCHANGE.with_borrow(|exchange| exchange.answer.as_ptr())
}

/// The length of the message of a panic; zero if there was none.
// As above.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn coldring_panic_length() -> usize {
    PANIC.with_borrow(Vec::len)
}

/// Where the message of a panic is.
// As above.
#[unsafe(no_mangle)]
pub(crate) extern "C" fn coldring_panic() -> *const u8 {
    PANIC.with_borrow(|panic| panic.as_ptr())
}

fn keep_panic(info: &PanicHookInfo<'_>) {
    PANIC.with_borrow_mut(|panic| *panic = info.to_string().into_bytes());
}
