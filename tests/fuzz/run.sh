#!/bin/sh
# Fuzzes one target on a stable compiler, without sanitizers: the program has no unsafe code.
#
#   tests/fuzz/run.sh parse -runs=200000
#
# What it builds and finds stands in target/fuzz; a text that breaks something moves to tests/bad-input
# under a name that says what it is, where every test run tries it.
set -eu
cd "$(dirname "$0")"
target=$1
shift
CARGO_TARGET_DIR=${CARGO_TARGET_DIR:-$(cd ../.. && pwd)/target/fuzz}
export CARGO_TARGET_DIR
work=$CARGO_TARGET_DIR/found
host=$(rustc -vV | sed -n 's/^host: //p')
RUSTFLAGS="-Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
 -Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table \
 -Cllvm-args=-sanitizer-coverage-trace-compares --cfg fuzzing" \
    cargo build --target "$host" --bin "$target"
mkdir -p "$work/corpus/$target" "$work/seeds" "$work/artifacts/$target"
n=0
find ../../examples ../bad-input ../pieces ../passes -name '*.case' | sort | while read -r file; do
    n=$((n + 1))
    cp "$file" "$work/seeds/$n.case"
done
exec "$CARGO_TARGET_DIR/$host/debug/$target" \
    -artifact_prefix="$work/artifacts/$target/" -max_len=4000 -timeout=20 -rss_limit_mb=2000 \
    -dict=words.dict "$@" "$work/corpus/$target" "$work/seeds"
