// Writes the seed corpus of each target into a folder of its name. Usage: write_seeds FOLDER
#include <cstdio>
#include <filesystem>
#include <fstream>

#include "fuzz/targets.hpp"

int main(int argc, char** argv) {
    if (argc != 2) return std::fputs("usage: write_seeds FOLDER\n", stderr), 2;
    for (const auto& target : tracehold::fuzz::targets()) {
        const auto folder = std::filesystem::path(argv[1]) / target.name;
        std::filesystem::create_directories(folder);
        std::size_t number = 0;
        for (const std::string& seed : target.seeds()) {
            std::ofstream out(folder / ("seed-" + std::to_string(++number)), std::ios::binary);
            out.write(seed.data(), static_cast<std::streamsize>(seed.size()));
            if (!out) return std::fputs("write_seeds: cannot write\n", stderr), 1;
        }
    }
}
