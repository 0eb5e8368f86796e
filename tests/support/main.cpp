#define DOCTEST_CONFIG_IMPLEMENT
#include <doctest/doctest.h>

#include "tracehold/core/memory.hpp"

int main(int argc, char** argv) {
    tracehold::keep_freed_memory();  // as the program does: made-up sessions take much and short
    return doctest::Context(argc, argv).run();
}
